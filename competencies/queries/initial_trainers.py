"""Who was named first at a task or a machine, until which day, and what then (R4.10)."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from competencies.models import LedgerIndex, Machine, Person, Task
from competencies.queries.facts import rules_of
from competencies.standing.calendar import days_after
from competencies.standing.facts import Scope
from competencies.standing.revisions import initial_trainer_spans
from competencies.standing.rule import PersonRule
from competencies.vocabulary import EntryKind, ScopeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstTrainer:
    """A first trainer: where, for which revision (None: whatever it is), from and until which day (both in).

    `has_own` says whether a sign-off of their own carries them further; without one they stop after the last day.
    """

    person: Person
    task_code: str
    scope: Scope
    revision: int | None
    from_on: date
    until_on: date
    has_own: bool

    def is_running(self, on: date) -> bool:
        """Whether the naming still holds on a day."""
        return self.from_on <= on <= self.until_on


def first_trainers(task: Task, *, on: date) -> Sequence[FirstTrainer]:
    """Return who was ever named first at a task, those still running first. A fixed number of queries."""
    rows = LedgerIndex.objects.filter(plant=task.plant_id, task=task.code, kind=EntryKind.INITIAL_TRAINER)
    people = list(Person.objects.filter(pk__in=rows.values("person")).select_related("plant"))
    rules = rules_of(people)
    found = [each for person in people for each in _of(person, rules[person.pk], {task.code})]
    return sorted(found, key=lambda each: (not each.is_running(on), each.until_on, each.person.name))


def named_first(person: Person, *, on: date) -> Sequence[FirstTrainer]:
    """Return where a person stands in as a first trainer on a day. A fixed number of queries."""
    codes = set(
        LedgerIndex.objects.filter(person=person.pk, kind=EntryKind.INITIAL_TRAINER).values_list("task", flat=True)
    )
    if not codes:
        return ()
    found = _of(person, rules_of([person])[person.pk], codes)
    return [each for each in found if each.is_running(on)]


def places_of(task: Task) -> list[str]:
    """Return the places at which a task can be held, as "L1" or "L1/F1"; none for a task of the whole site."""
    if task.scope_kind == ScopeKind.SITE:
        return []
    places = task.places.select_related("line", "machine")
    named = [Scope(place.line.code, place.machine.code if place.machine else "") for place in places]
    if named:
        return sorted({str(scope) for scope in named})
    machines = Machine.objects.filter(line__plant=task.plant_id).select_related("line")
    if task.scope_kind == ScopeKind.MACHINE:
        return sorted({f"{machine.line.code}/{machine.code}" for machine in machines})
    return sorted(task.plant.lines.values_list("code", flat=True))


def _of(person: Person, rule: PersonRule, codes: Collection[str]) -> list[FirstTrainer]:
    found = []
    for code, scope in rule.keys():  # noqa: SIM118 - a method of the rule
        held = rule.holding(code, scope)
        if code not in codes:
            continue
        for span, fact in initial_trainer_spans(held.case):
            until_on = days_after(held.case.clock.day(span.end), -1)
            own = held.governing_at(span.end)
            found.append(
                FirstTrainer(
                    person=person,
                    task_code=code,
                    scope=scope,
                    revision=fact.revision,
                    from_on=held.case.clock.day(span.start),
                    until_on=until_on,
                    has_own=own is not None and own.holds_at(span.end),
                )
            )
    return found
