"""Keeps the projected periods of standing in step with the ledger. A cache: the ledger is the truth."""

from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, datetime

from django.db import transaction
from django.db.models import Q

from competencies.models import Person, StandingPeriod, Task
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of, with_dependents
from competencies.queries.periods import period_values
from competencies.standing.facts import Fact, Scope
from competencies.standing.framework import Frame
from competencies.standing.live import known_at, known_frame
from competencies.standing.rule import PersonRule

Key = tuple[str, Scope]
LONG_AGO = datetime.min.replace(tzinfo=UTC)

COMPARED = (
    "starts_at",
    "ends_at",
    "standing",
    "counts",
    "reasons",
    "way_back",
    "last_valid_on",
    "revision",
    "rests_on",
    "gained_at",
)


@transaction.atomic
def refresh_standing(*, people: Iterable[Person], task: str, now: datetime) -> None:
    """Bring the periods of `people` up to date with the whole ledger, for `task` and what depends on it.

    An empty `task` means every task: the person's age or employment changed.
    """
    people = list(people)
    if not people:
        return
    frame = frame_of(people[0].plant)
    task_ids = _task_ids(people)
    reached = with_dependents(frame, task) if task else frozenset(task_ids)
    facts = facts_of_people([person.pk for person in people])
    for person in people:
        if _latest_moment(frame, facts[person.pk]) > now:
            # The server's clock has gone back: what was known when can only be told by starting over.
            rebuild_standing(people=[person])
        else:
            _project(person.pk, PersonRule(person.pk, facts[person.pk], frame), reached, task_ids, now)


def _latest_moment(frame: Frame, facts: Collection[Fact]) -> datetime:
    return max({fact.recorded_at for fact in facts} | _frame_moments(frame, facts), default=LONG_AGO)


def _task_ids(people: Collection[Person]) -> Mapping[str, int]:
    plants = {person.plant_id for person in people}
    return dict(Task.objects.filter(plant__in=plants).values_list("code", "pk"))


def _project(
    person_id: int, rule: PersonRule, reached: Collection[str], task_ids: Mapping[str, int], now: datetime
) -> None:
    """Close the rows of the `reached` tasks that no longer hold and add those that do, as known from `now` on."""
    held = _held_rows(person_id, {task_ids[code]: code for code in reached}, now)
    opened: list[StandingPeriod] = []
    kept: set[int] = set()
    entered = rule.keys()
    for code, scope in {key for key in entered if key[0] in reached} | held.keys():
        for period in rule.timeline(code, scope).periods:
            row = StandingPeriod(
                person_id=person_id, task_id=task_ids[code], scope=str(scope), known_from=now, **period_values(period)
            )
            same = next((other for other in held.get((code, scope), ()) if _equal(row, other)), None)
            if same is None:
                opened.append(row)
            else:
                kept.add(same.pk)
    _close([row for rows in held.values() for row in rows], kept, now)
    StandingPeriod.objects.bulk_create(opened)


def _held_rows(person_id: int, codes: Mapping[int, str], now: datetime) -> dict[Key, list[StandingPeriod]]:
    """Return the rows known just before or at `now`: one closed at this very moment may turn out to hold after all."""
    rows = StandingPeriod.objects.filter(Q(known_to=None) | Q(known_to=now), person_id=person_id, task_id__in=codes)
    held: dict[Key, list[StandingPeriod]] = {}
    for row in rows:
        held.setdefault((codes[row.task_id], Scope.parse(row.scope)), []).append(row)
    return held


def _close(rows: Collection[StandingPeriod], kept: Collection[int], now: datetime) -> None:
    gone = [row for row in rows if row.pk not in kept]
    # A row that was opened at this very moment was never known: it goes, and leaves no trace.
    StandingPeriod.objects.filter(pk__in=[row.pk for row in gone if row.known_from == now]).delete()
    StandingPeriod.objects.filter(
        pk__in=[row.pk for row in gone if row.known_from != now and row.known_to is None]
    ).update(known_to=now)
    StandingPeriod.objects.filter(pk__in=[row.pk for row in rows if row.pk in kept and row.known_to]).update(
        known_to=None
    )


def _equal(one: StandingPeriod, other: StandingPeriod) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in COMPARED)


@transaction.atomic
def rebuild_standing(*, people: Iterable[Person]) -> int:
    """Drop the periods of `people` and make them again from the ledger, moment by moment. Returns the rows made."""
    people = list(people)
    if not people:
        return 0
    numbers = [person.pk for person in people]
    StandingPeriod.objects.filter(person__in=numbers).delete()
    frame = frame_of(people[0].plant)
    task_ids = _task_ids(people)
    facts = facts_of_people(numbers)
    for person_id in numbers:
        _replay(person_id, facts[person_id], frame, task_ids)
    return StandingPeriod.objects.filter(person__in=numbers).count()


def _replay(person_id: int, facts: list[Fact], frame: Frame, task_ids: Mapping[str, int]) -> None:
    """Project what was known at each moment at which something about the person or the frame was recorded."""
    moments = {fact.recorded_at for fact in facts} | _frame_moments(frame, facts)
    for moment in sorted(moments):
        rule = PersonRule(person_id, known_at(facts, moment), known_frame(frame, moment))
        _project(person_id, rule, frozenset(task_ids), task_ids, moment)


def _frame_moments(frame: Frame, facts: Collection[Fact]) -> set[datetime]:
    if not facts:
        return set()
    first = min(fact.recorded_at for fact in facts)
    issued = {terms.recorded_at for task in frame.tasks.values() for terms in task.terms}
    issued |= {revision.recorded_at for task in frame.tasks.values() for revision in task.revisions}
    issued |= {policy.recorded_at for policy in frame.policies if policy.recorded_at is not None}
    return {moment for moment in issued if moment > first}
