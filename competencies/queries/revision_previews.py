"""What a new revision would do before it is issued: to trainees' runs, to each line's stations, and by which date."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Final

from django.db.models import Max

from competencies.models import Person, Plant, RosterDay, StandingPeriod, Station, Task
from competencies.queries.clashes import scope_for
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of
from competencies.queries.previews import Touched
from competencies.queries.revisions import IssueAsked
from competencies.queries.standing import timelines_of
from competencies.standing.calendar import Clock, clock_of
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame, Revision
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Timeline
from competencies.vocabulary import Standing

WEEKS: Final = 8
ROSTERED_DAYS: Final = 14
NOON: Final = 12 * 60
Timelines = Mapping[tuple[int, str, Scope], Timeline]


def revision_asked(asked: IssueAsked, *, now: datetime) -> Revision:
    """Return a revision that is not issued yet as the rule would read it."""
    rows = list(enumerate(asked.procedure.criteria, start=1))
    return Revision(
        number=asked.base + 1,
        approved_on=asked.approved_on,
        effective_on=asked.effective_on,
        recorded_at=now,
        change=asked.change,
        touches=asked.touches,
        criteria=tuple(number for number, _row in rows),
        critical_criteria=frozenset(number for number, row in rows if row.is_critical),
        scope_criteria=tuple(number for number, row in rows if row.is_scope_specific),
        carries_runs=Fraction(asked.carries_runs) if asked.carries_runs else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """How many runs of somebody who learns the task count on the day, without the revision and with it."""

    person: Person
    scope: Scope
    before: int
    after: int
    needed: int


def runs_carried(task: Task, changed: Frame, *, effective_on: date, now: datetime) -> Sequence[Carried]:
    """Return for everybody who learns the task which of their runs still count when it changes. Four queries."""
    frame = frame_of(task.plant)
    learning = StandingPeriod.objects.filter(
        task=task, known_to=None, ends_at=None, standing__in=[Standing.LEARNING, Standing.READY]
    )
    keys = sorted(set(learning.values_list("person_id", "scope")))
    people = Person.objects.in_bulk({person for person, _scope in keys})
    facts = facts_of_people(set(people))
    moment = max(now, clock_of(frame.timezone).midnight(effective_on))
    found = []
    for number, place in keys:
        scope = Scope.parse(place)
        before, after = (
            PersonRule(number, facts[number], each).progress(task.code, scope, moment) for each in (frame, changed)
        )
        found.append(
            Carried(
                person=people[number],
                scope=scope,
                before=len(before.counted),
                after=len(after.counted),
                needed=after.runs_needed,
            )
        )
    return sorted(found, key=lambda each: each.person.name)


@dataclass(frozen=True, slots=True, kw_only=True)
class StationWeek:
    """The fewest people who count for a station on a day of the week that starts on `on`, without and with it."""

    on: date
    before: int
    after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StationAhead:
    """A station over the weeks to come."""

    station: Station
    weeks: Sequence[StationWeek]

    @property
    def is_short(self) -> bool:
        """Whether there is a week in which fewer count than the station needs at a time."""
        return any(week.after < self.station.needed for week in self.weeks)


def stations_ahead(plant: Plant, touched: Collection[Touched], *, since: date) -> Sequence[StationAhead]:
    """Return each station that loses people, week by week from the week of `since` on. Three queries.

    Counted are all who count, of every crew, at noon of each day; whoever stops is taken not to come back by then.
    """
    stops = {(each.person.pk, each.task_code, each.scope): each.from_at for each in touched if each.stops}
    codes = {code for _person, code, _scope in stops}
    stations = list(
        Station.objects.filter(line__plant=plant, task__code__in=codes)
        .select_related("line", "task", "machine")
        .order_by("line__code", "task__code")
    )
    clock = clock_of(plant.timezone)
    holders = StandingPeriod.objects.filter(task__plant=plant, task__code__in=codes, known_to=None, counts=True)
    timelines = timelines_of(people=set(holders.values_list("person_id", flat=True)), tasks=codes)
    monday = since - timedelta(days=since.weekday())
    found = []
    for station in stations:
        scope = scope_for(station.task, station.line, station.machine)
        here = {key: line for key, line in timelines.items() if key[1:] == (station.task.code, scope)}
        weeks = [_week(here, stops, clock, monday + timedelta(weeks=week)) for week in range(WEEKS)]
        if any(week.before != week.after for week in weeks):
            found.append(StationAhead(station=station, weeks=weeks))
    return found


def _week(
    here: Timelines, stops: Mapping[tuple[int, str, Scope], datetime], clock: Clock, monday: date
) -> StationWeek:
    before, after = [], []
    for day in range(7):
        moment = clock.moment(monday + timedelta(days=day), NOON)
        counting = [key for key, timeline in here.items() if timeline.at(moment).counts]
        before.append(len(counting))
        after.append(sum(key not in stops or stops[key] > moment for key in counting))
    return StationWeek(on=monday, before=min(before), after=min(after))


@dataclass(frozen=True, slots=True, kw_only=True)
class DateTold:
    """A day on which a major revision could come into force, and what it would cost if nobody showed it before.

    `stops_on` is the first day on which holders do not count; `stopping` how many people; `shifts` for how many shifts
    of the fortnight from then on they are rostered (None: the roster does not reach so far).
    """

    on: date
    stops_on: date
    stopping: int
    shifts: int | None
    is_cheapest: bool = False


def dates_told(task: Task, *, today: date, not_before: date) -> Sequence[DateTold]:
    """Return the Mondays of the next weeks, each with its cost, the cheapest marked. Five queries.

    The cheapest is the one with the fewest rostered shifts of those who would stop, then with the fewest of them, then
    the earliest; where the roster reaches none, only people are compared.
    """
    frame = frame_of(task.plant)
    clock = clock_of(frame.timezone)
    days = frame.policy_on(today).major_transition_days.of(frame.tasks[task.code].criticality)
    holders = StandingPeriod.objects.filter(task=task, known_to=None, counts=True).values_list("person_id", flat=True)
    timelines = timelines_of(people=set(holders), tasks=[task.code])
    first = max(today, not_before)
    monday = first + timedelta(days=-first.weekday() % 7)
    starts = [monday + timedelta(weeks=week) for week in range(WEEKS)]
    rows = RosterDay.objects.filter(person__in=set(holders), on__gte=monday).values_list("person_id", "on")
    reaches = RosterDay.objects.filter(person__plant=task.plant_id).aggregate(last=Max("on"))["last"] or date.min
    roster = list(rows)
    found = []
    for start in starts:
        stops_on = start + timedelta(days=days + 1 if days else 0)
        moment = clock.midnight(stops_on)
        stopping = {key[0] for key, timeline in timelines.items() if timeline.at(moment).counts}
        until = stops_on + timedelta(days=ROSTERED_DAYS - 1)
        shifts = _shifts(roster, stopping, stops_on, until) if reaches >= until else None
        found.append(DateTold(on=start, stops_on=stops_on, stopping=len(stopping), shifts=shifts))
    return _with_cheapest(found)


def _shifts(roster: Iterable[tuple[int, date]], stopping: Collection[int], first: date, last: date) -> int:
    return sum(person in stopping and first <= day <= last for person, day in roster)


def _with_cheapest(found: Sequence[DateTold]) -> Sequence[DateTold]:
    rostered = [each for each in found if each.shifts is not None] or found
    best = min(rostered, key=lambda each: (each.shifts or 0, each.stopping, each.on))
    return [
        DateTold(
            on=each.on, stops_on=each.stops_on, stopping=each.stopping, shifts=each.shifts, is_cheapest=each is best
        )
        for each in found
    ]
