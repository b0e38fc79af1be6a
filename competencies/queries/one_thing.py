"""What one thing to do on a shift: of all that could be trained with who is there, what brings most cover an hour."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count

from competencies.models import Absence, Authority, LedgerIndex, Line, Person, RosterDay, Shift, Task
from competencies.queries.cover import covers_of
from competencies.queries.facts import rules_of
from competencies.queries.frame import frame_of
from competencies.queries.line_cover import LineCover
from competencies.queries.standing import standings_at
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame, Policy
from competencies.standing.gains import Gain, Way, best_ways, gain_of
from competencies.standing.readiness import Progress
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Step
from competencies.vocabulary import AuthorityKind, EntryKind, Standing

MOST_SHOWN = 3
TEACHES = frozenset({Standing.IN_FORCE, Standing.RENEWAL_DUE})
LEARNS = frozenset({Standing.NOT_STARTED, Standing.LEARNING, Standing.READY})
# What can be done on a shift, and who does it with the person; signatures and liftings come from elsewhere.
ENTITLES: Mapping[str, frozenset[AuthorityKind]] = {
    "run": frozenset({AuthorityKind.TRAIN, AuthorityKind.ASSESS}),
    "assessment": frozenset({AuthorityKind.ASSESS}),
    "delta": frozenset({AuthorityKind.ASSESS}),
}
ALONE = "acknowledgement"
DONE = (EntryKind.RUN, EntryKind.PERFORMANCE, EntryKind.ASSESSMENT)
YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One thing to do: the first step of a person's way to a task that the line needs.

    `steps` is the whole way and `minutes` its time; `with_whom` are those there who may do the first step with the
    person (nobody: they do it alone).
    """

    person: Person
    task: Task
    step: Step
    step_task: Task
    steps: tuple[Step, ...]
    step_minutes: int
    minutes: int
    gain: Gain
    with_whom: tuple[Person, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RareTask:
    """A task of the line that is seldom recorded: how often in twelve months, and who there needs it."""

    task: Task
    times: int
    people: tuple[Person, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OneThing:
    """What to do on a shift, best first; `unmanned` counts the ways that nobody there may help along today."""

    cover: LineCover
    offers: tuple[Offer, ...]
    unmanned: int
    rare: tuple[RareTask, ...]


def one_thing(line: Line, shift: Shift, on: date) -> OneThing:
    """Return the best things to do at a line on a shift. A fixed number of queries for any number of people."""
    cover = covers_of(lines=[line], shift=shift, on=on)[0]
    found = _Shift(cover, on)
    ways = {(way.person, way.task): way for way in found.ways()}
    offers, unmanned = [], 0
    for way in best_ways(ways.values()):
        offer = found.offer(way)
        if offer is None:
            unmanned += 1
        else:
            offers.append(offer)
    return OneThing(cover=cover, offers=tuple(offers[:MOST_SHOWN]), unmanned=unmanned, rare=tuple(found.rare()))


class _Shift:
    """A line on a shift, with what its people still need and who is there to help."""

    def __init__(self, cover: LineCover, on: date) -> None:
        self.cover, self.on = cover, on
        self.plant = cover.line.plant
        self.frame: Frame = frame_of(self.plant)
        self.policy: Policy = self.frame.policy_on(on)
        self.tasks = {task.code: task for task in Task.objects.filter(plant=self.plant).select_related("area")}
        free = [person for person in cover.people if person.pk not in cover.busy]
        # Of equal ways that of somebody who works with a crew: the office is at the line only now and then.
        free.sort(key=lambda person: person.crew_id is None)
        self.people = {person.pk: person for person in free}
        self.rules: Mapping[int, PersonRule] = rules_of(free)
        self.steps: dict[tuple[int, str], tuple[Step, ...]] = {}
        self.helpers = _Helpers(cover, on)

    def ways(self) -> Iterable[Way]:
        """Yield every way of somebody there to a station of the line at which they do not count."""
        by_key: dict[tuple[str, Scope], list[int]] = defaultdict(list)
        for number, slot in enumerate(self.cover.slots):
            by_key[slot.station.task.code, slot.scope].append(number)
        for (code, scope), slots in by_key.items():
            for person in self.people:
                if any(person in self.cover.needs.able[slot] for slot in slots):
                    continue
                steps = self._steps(person, code, scope)
                if steps:
                    self.steps[person, code] = steps
                    gain = gain_of(self.cover.needs, person, slots)
                    yield Way(person=person, task=code, gain=gain, minutes=sum(map(self._minutes, steps)))

    def _steps(self, person: int, code: str, scope: Scope) -> tuple[Step, ...]:
        """Return what is left of a person's way to a task; nothing where a bar for age stands before it."""
        rule = self.rules[person]
        if rule.is_barred(code, self.on):
            return ()
        period = rule.timeline(code, scope).at(self.cover.start)
        if period.standing not in LEARNS:
            return period.way_back
        return tuple(self._left(period.way_back, code, rule.progress(code, scope, self.cover.start)))

    def _left(self, steps: Iterable[Step], code: str, progress: Progress) -> Iterable[Step]:
        """Yield the steps of a learner with the runs that are done already taken off."""
        for step in steps:
            if step.task != code or step.action != "run":
                yield step
            elif (left := progress.runs_needed - len(progress.counted)) > 0:
                yield Step(step.action, step.task, step.scope, left)

    def _minutes(self, step: Step) -> int:
        each = {
            "run": self.policy.run_minutes,
            "assessment": self.policy.assessment_minutes,
            "delta": self.policy.delta_minutes,
            ALONE: self.policy.reading_minutes,
        }
        return each.get(step.action, 0) * step.count

    def offer(self, way: Way) -> Offer | None:
        """Return a way as something to do now; None where nobody there may help, or it waits for others."""
        steps = self.steps[way.person, way.task]
        first = steps[0]
        with_whom = self.helpers.who(first, self.tasks[first.task], without=way.person)
        if first.action != ALONE and not with_whom:
            return None
        return Offer(
            person=self.people[way.person],
            task=self.tasks[way.task],
            step=first,
            step_task=self.tasks[first.task],
            steps=steps,
            step_minutes=self._minutes(Step(first.action, first.task, first.scope)),
            minutes=way.minutes,
            gain=way.gain,
            with_whom=with_whom,
        )

    def rare(self) -> Iterable[RareTask]:
        """Yield the tasks held at the line that are seldom recorded, with who there has begun them or lost them.

        A station's task is left out: it is done on every shift, whether or not anybody writes it down.
        """
        manned = {slot.station.task.code for slot in self.cover.slots}
        here = Task.objects.filter(plant=self.plant, places__line=self.cover.line).exclude(code__in=manned)
        codes = set(here.values_list("code", flat=True))
        done = (
            LedgerIndex.objects.filter(plant=self.plant, kind__in=DONE, task__in=codes)
            .filter(happened_on__gt=self.on - YEAR, happened_on__lte=self.on)
            .values_list("task")
            .annotate(times=Count("pk"))
        )
        times = dict(done)
        wanted: dict[str, list[Person]] = defaultdict(list)
        for each in standings_at(people=set(self.people), moment=self.cover.start, tasks=codes):
            is_open = each.scope.line in {"", self.cover.line.code} and not each.period.counts
            if is_open and not self.rules[each.person_id].is_barred(each.task_code, self.on):
                wanted[each.task_code].append(self.people[each.person_id])
        for code, people in sorted(wanted.items()):
            if times.get(code, 0) < self.policy.rare_performances:
                unique = tuple(dict.fromkeys(people))
                yield RareTask(task=self.tasks[code], times=times.get(code, 0), people=unique)


class _Helpers:
    """Who is at work on the shift, anywhere in the plant, and may watch or judge."""

    def __init__(self, cover: LineCover, on: date) -> None:
        rows = RosterDay.objects.filter(on=on, shift=cover.shift, person__plant=cover.line.plant)
        away = Absence.objects.filter(from_on__lte=on, until_on__gte=on).values("person")
        present = rows.exclude(person__in=away).values_list("person_id", flat=True)
        self.people = Person.objects.employed(on).in_bulk(set(present))
        self.busy: Collection[int] = cover.busy
        self.holders: dict[tuple[str, Scope], list[int]] = defaultdict(list)
        for each in standings_at(people=set(self.people), moment=cover.start):
            if each.period.standing in TEACHES:
                self.holders[each.task_code, each.scope].append(each.person_id)
        self.grants: dict[int, list[tuple[AuthorityKind, int | None]]] = defaultdict(list)
        granted = Authority.objects.in_force(on).filter(person__in=self.people)
        for number, kind, area in granted.values_list("person_id", "kind", "area_id"):
            self.grants[number].append((AuthorityKind(kind), area))

    def who(self, step: Step, task: Task, *, without: int) -> tuple[Person, ...]:
        """Return who there holds the task, is entrusted with the step and is with no other trainee."""
        kinds = ENTITLES.get(step.action, frozenset())
        found = [
            self.people[number]
            for number in self.holders.get((step.task, step.scope), ())
            if number != without
            and number not in self.busy
            and any(kind in kinds and area in {None, task.area_id} for kind, area in self.grants[number])
        ]
        return tuple(sorted(found, key=lambda person: person.name))
