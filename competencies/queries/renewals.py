"""A proposal of renewals: by whom and on which day, so that nothing lapses and no assessor has too much (R3.1)."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from competencies.models import Area, Person, Plant, Shift
from competencies.queries.lapses import Narrowed
from competencies.queries.renewal_ground import (
    WORKING_DAYS,
    Due,
    Ground,
    Held,
    ground_of,
    monday_of,
    planned_held,
    week_of,
)
from competencies.standing.calendar import clock_of
from competencies.standing.levelling import Levelled, Place, Renewal, level
from competencies.vocabulary import Criticality

MINUTES = 60
MOST_ROUNDS = 4
# The days on which a renewal may be put at a place.
Days = Mapping[Place, Sequence[date]]


class Obstacle(StrEnum):
    """Why a renewal has no place in the proposal."""

    LATE = "late"
    NOBODY = "nobody"
    DAYS = "days"
    HOURS = "hours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposed:
    """A renewal with the assessor, the day and the shift."""

    due: Due
    assessor: Person
    on: date
    shift: Shift

    @property
    def token(self) -> str:
        """Return the proposal as one word of a form."""
        row = self.due.row
        parts = (row.person_id, row.task.code, row.scope, self.on.isoformat(), self.shift.name, self.assessor.pk)
        return "|".join(str(part) for part in parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuck:
    """A renewal that has no place, and why."""

    due: Due
    why: Obstacle


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """A week of the proposal: the minutes asked of all assessors, and those that they have."""

    monday: date
    minutes: int
    free_minutes: int

    @property
    def hours(self) -> float:
        """Return the hours asked of all assessors."""
        return self.minutes / MINUTES

    @property
    def free_hours(self) -> float:
        """Return the hours that they have."""
        return self.free_minutes / MINUTES


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """What the renewals that have no place for want of time would take, by the month they lapse in and the area."""

    month: date
    area: Area
    renewals: int
    minutes: int

    @property
    def hours(self) -> float:
        """Return the hours that they would take."""
        return self.minutes / MINUTES


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """Everything that is proposed. `already` renewals are asked for and left as they are."""

    proposed: Sequence[Proposed]
    stuck: Sequence[Stuck]
    weeks: Sequence[Week]
    missing: Sequence[Missing]
    already: int
    later: int
    most: int
    least_minutes: int
    is_exact: bool
    signing_minutes: int

    @property
    def least_hours(self) -> float:
        """Return the hours that the busiest week has at the least, in whatever plan that places as many."""
        return self.least_minutes / MINUTES

    @property
    def signing_hours(self) -> float:
        """Return the hours of the second signatures, which other people than the assessors give."""
        return self.signing_minutes / MINUTES

    @property
    def busiest(self) -> Week:
        """Return the week of which most is asked."""
        return max(self.weeks, key=lambda week: week.minutes)


def proposal(
    plant: Plant, narrowed: Narrowed, *, moment: datetime, until_on: date, week_hours: int | None = None
) -> Proposal:
    """Return renewals for what runs out by `until_on`, the soonest of it. A fixed number of queries; some seconds.

    `week_hours` tries another figure for the assessor's time than the plant's.
    """
    ground = ground_of(plant, narrowed, moment=moment, on=clock_of(plant.timezone).day(moment), until_on=until_on)
    planned = {planned_held(each) for each in ground.planned}
    open_due = [each for each in ground.due if each.held not in planned]
    free = _Free(ground, (week_hours or ground.policy.assessor_week_hours) * MINUTES)
    days, found = _levelled(ground, open_due, free)
    proposed = _dated(ground, open_due, days, found)
    stuck = [Stuck(due=open_due[key], why=_obstacle(ground, open_due[key], days[key])) for key in found.unplaced]
    return Proposal(
        proposed=sorted(proposed, key=lambda each: (each.on, each.shift.starts, each.due.row.person.name)),
        stuck=sorted(stuck, key=lambda each: (each.due.until_on, each.due.row.task.code, each.due.row.person.name)),
        weeks=_weeks(ground, proposed, free, until_on),
        missing=_missing(stuck),
        already=len(ground.due) - len(open_due),
        later=ground.later,
        most=found.most,
        least_minutes=found.least_minutes,
        is_exact=found.is_exact,
        signing_minutes=ground.policy.second_signature_minutes
        * sum(1 for each in proposed if each.due.row.task.criticality != Criticality.NONE),
    )


class _Free:
    """The minutes that each assessor has in a week: fewer where days of it are gone, off or away, or asked for."""

    def __init__(self, ground: Ground, week_minutes: int) -> None:
        self._ground = ground
        self._week_minutes = week_minutes
        self._taken: Counter[Place] = Counter()
        minutes = {due.held: due.minutes for due in ground.due}
        for each in ground.planned:
            held = planned_held(each)
            if held in minutes:
                self._taken[each.trainer_id, week_of(each.on)] += minutes[held]
        self._known: dict[Place, int] = {}

    def at(self, place: Place) -> int:
        if place not in self._known:
            assessor, week = place
            person = self._ground.assessors[assessor]
            first = monday_of(week).toordinal()
            days = [date.fromordinal(each) for each in range(first, first + 7)]
            there = sum(day > self._ground.on and self._ground.is_there(person, day) for day in days)
            share = min(WORKING_DAYS, there) * self._week_minutes // WORKING_DAYS
            self._known[place] = max(0, share - self._taken[place])
        return self._known[place]


def _levelled(ground: Ground, due: Sequence[Due], free: _Free) -> tuple[Sequence[Days], Levelled]:
    """Level the renewals; an assessor whose own renewal finds no place is reckoned on only until they lapse.

    Each round may find one more of them. After some rounds nobody is reckoned on beyond their last valid day.
    """
    kept_up = {each.held for each in ground.due}
    for rounds_left in reversed(range(MOST_ROUNDS)):
        days = [_days(ground, each, kept_up) for each in due]
        renewals = [
            Renewal(key=key, minutes=each.minutes, places=frozenset(days[key]), end=each.until_on.toordinal())
            for key, each in enumerate(due)
        ]
        places = {place for each in renewals for place in each.places}
        found = level(renewals, {place: free.at(place) for place in places})
        lost = {due[key].held for key in found.unplaced if due[key].row.person_id in ground.assessors} & kept_up
        if not lost:
            break
        kept_up = kept_up - lost if rounds_left > 1 else set()
    return days, found


def _days(ground: Ground, due: Due, kept_up: set[Held]) -> Days:
    """Return the days on which the holder and an assessor are both there, by assessor and week."""
    row = due.row
    there = [day for day in due.days if ground.is_there(row.person, day)]
    days: dict[Place, list[date]] = defaultdict(list)
    for number, assessor in ground.assessors.items():
        if (number, row.task.code, row.scope) not in ground.held:
            continue
        renewed = (number, row.task.code, row.scope) in kept_up
        for day in there:
            if ground.may_assess(number, due, day, renewed=renewed) and ground.is_there(assessor, day):
                days[number, week_of(day)].append(day)
    return days


def _dated(ground: Ground, due: Sequence[Due], days: Sequence[Days], found: Levelled) -> list[Proposed]:
    """Choose the day within the week: one on which both share a shift where there is one, the emptiest of those."""
    taken: Counter[tuple[int, date]] = Counter()
    out = []
    for key, place in sorted(found.placed.items(), key=lambda item: (due[item[0]].until_on, item[0])):
        assessor = ground.assessors[place[0]]
        options = [(day, *_shift(ground, due[key].row.person, assessor, day)) for day in days[key][place]]
        on, shift, _shared = min(options, key=lambda each: (not each[2], taken[place[0], each[0]], each[0]))
        taken[place[0], on] += due[key].minutes
        out.append(Proposed(due=due[key], assessor=assessor, on=on, shift=shift))
    return out


def _shift(ground: Ground, person: Person, assessor: Person, day: date) -> tuple[Shift, bool]:
    """Return the shift on which both are rostered, else the holder's, the assessor's or the first of the day."""
    his = ground.rota.get(person.pk, {}).get(day, frozenset())
    theirs = ground.rota.get(assessor.pk, {}).get(day, frozenset())
    for wanted in (his & theirs, his, theirs):
        if wanted:
            return next(shift for shift in ground.shifts if shift.pk in wanted), not his or not theirs or bool(
                his & theirs
            )
    return ground.shifts[0], True


def _obstacle(ground: Ground, due: Due, days: Days) -> Obstacle:
    if due.until_on < due.from_on:
        return Obstacle.LATE
    if days:
        return Obstacle.HOURS
    anybody = any(
        ground.may_assess(number, due, day, renewed=False) for number in ground.assessors for day in due.days
    )
    return Obstacle.DAYS if anybody else Obstacle.NOBODY


def _weeks(ground: Ground, proposed: Iterable[Proposed], free: _Free, until_on: date) -> list[Week]:
    asked: Counter[int] = Counter()
    for each in proposed:
        asked[week_of(each.on)] += each.due.minutes
    first, last = week_of(ground.on), max([week_of(until_on), *asked])
    return [
        Week(
            monday=monday_of(week),
            minutes=asked[week],
            free_minutes=sum(free.at((assessor, week)) for assessor in ground.assessors),
        )
        for week in range(first, last + 1)
    ]


def _missing(stuck: Iterable[Stuck]) -> list[Missing]:
    found: dict[tuple[date, Area], list[int]] = defaultdict(list)
    for each in stuck:
        if each.why is Obstacle.HOURS:
            found[each.due.until_on.replace(day=1), each.due.row.task.area].append(each.due.minutes)
    return [
        Missing(month=month, area=area, renewals=len(minutes), minutes=sum(minutes))
        for (month, area), minutes in sorted(found.items(), key=lambda item: (item[0][0], item[0][1].title))
    ]
