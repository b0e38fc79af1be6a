"""What is told of a line on the days to come: its weeks, its first breaks and why, on whom it hangs (R9)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from competencies.models import Crew, Line, Person, Shift, Station
from competencies.standing.ahead import Days
from competencies.standing.timeline import Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """Somebody who counted at a station the day before and does not any more.

    `reasons` say why, each with the task that it is about; without any the person is away, or gone after `last_day`.
    """

    person: Person
    station: Station
    reasons: tuple[tuple[str, Reason], ...]
    last_day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """The first shift on which a line is not covered; `crew` is None where the roster says who is there.

    `short` are the stations that too few people share, `losses` who was lost there on that very day (none: there were
    too few the day before already).
    """

    on: date
    shift: Shift
    crew: Crew | None
    is_rostered: bool
    short: tuple[Station, ...]
    losses: tuple[Loss, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekAhead:
    """A line over some days: so many of its shifts (of the roster) or crews' shifts (beyond it) are covered.

    `planned` is how many would be if the planned assignments passed. `have` is, for each station of the line, the
    least number of people who could stand there on any shift of those days.
    """

    days: Days
    is_rostered: bool
    covered: int
    of: int
    planned: int
    have: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Hanging:
    """Somebody without whom a crew could not be sure to man some stations."""

    person: Person
    crew: Crew | None
    stations: tuple[Station, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAhead:
    """A line over the next weeks. `breaks` are the first break of the roster and of each crew, earliest first."""

    line: Line
    stations: tuple[Station, ...]
    weeks: tuple[WeekAhead, ...]
    breaks: tuple[Break, ...]
    hangs: tuple[Hanging, ...]

    @property
    def first_break(self) -> Break | None:
        """Return the first shift on which the line is not covered."""
        return self.breaks[0] if self.breaks else None

    @property
    def runs(self) -> list[WeekAhead]:
        """Return the weeks with neighbours joined that have the same figures."""
        found: list[WeekAhead] = []
        for week in self.weeks:
            if found and replace(found[-1], days=week.days) == week:
                found[-1] = replace(week, days=Days(found[-1].days.from_on, week.days.until_on))
            else:
                found.append(week)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A line with and without somebody: how many weeks lose cover, and which stations are left to nobody."""

    before: LineAhead
    after: LineAhead
    lost_weeks: int
    to_nobody: tuple[Station, ...]

    @property
    def is_same(self) -> bool:
        """Whether it makes no difference."""
        return not self.lost_weeks and not self.to_nobody and _when(self.before) == _when(self.after)


def compared(before: Sequence[LineAhead], after: Sequence[LineAhead]) -> list[Compared]:
    """Return each line with and without somebody, the same lines in the same order."""
    return [_compared(one, other) for one, other in zip(before, after, strict=True)]


def _compared(before: LineAhead, after: LineAhead) -> Compared:
    weeks = list(zip(before.weeks, after.weeks, strict=True))
    fallen: Mapping[int, Station] = {
        station.pk: station
        for one, other in weeks
        for station, had, has in zip(before.stations, one.have, other.have, strict=True)
        if had and not has
    }
    return Compared(
        before=before,
        after=after,
        lost_weeks=sum(other.covered < one.covered for one, other in weeks),
        to_nobody=tuple(fallen.values()),
    )


def _when(line: LineAhead) -> date | None:
    return line.first_break.on if line.first_break else None
