"""Days, months and moments in the plant's zone (3.0): the only place where zones meet the rule. Pure."""

import calendar
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from competencies.standing.framework import Shift

LONG_AGO = datetime.min.replace(tzinfo=UTC)
FOR_EVER = datetime.max.replace(tzinfo=UTC)
ONE_DAY = timedelta(days=1)
INSTANT = timedelta(microseconds=1)


def add_months(day: date, months: int) -> date:
    """Return the same day of the month `months` later, clipped to the end of the month (R3.1).

    >>> add_months(date(2024, 2, 29), 12)
    datetime.date(2025, 2, 28)
    """
    count = day.year * 12 + day.month - 1 + months
    year, month = divmod(count, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def days_after(day: date, days: int) -> date:
    """Return the day `days` later; day 0 is the day itself (3.17)."""
    return day + timedelta(days=days)


class Clock:
    """The plant's wall clock: turns local days and minutes into moments in UTC and back."""

    def __init__(self, timezone: str) -> None:
        self._zone = ZoneInfo(timezone)
        self._midnights: dict[date, datetime] = {}

    @property
    def zone(self) -> ZoneInfo:
        """Return the plant's zone."""
        return self._zone

    def midnight(self, day: date) -> datetime:
        """Return the first moment of a local day, in UTC, also where the clocks change at midnight."""
        found = self._midnights.get(day)
        if found is None:
            found = self._midnights[day] = datetime.combine(day, time.min, self._zone).astimezone(UTC)
        return found

    def day(self, moment: datetime) -> date:
        """Return the local day in which a moment lies."""
        return moment.astimezone(self._zone).date()

    def moment(self, day: date, minutes: int) -> datetime:
        """Return the moment at which the wall clock shows `minutes` after midnight, in UTC."""
        hours, rest = divmod(minutes, 60)
        days, hours = divmod(hours, 24)
        wall = datetime.combine(days_after(day, days), time(hours, rest), self._zone)
        return wall.astimezone(UTC)

    def shift_bounds(self, shift: Shift, start_on: date) -> tuple[datetime, datetime]:
        """Return start and end of the shift that starts on a day, in UTC (3.0: it belongs to that day)."""
        end_on = start_on if shift.ends > shift.starts else start_on + ONE_DAY
        return self.moment(start_on, shift.starts), self.moment(end_on, shift.ends)


@lru_cache(maxsize=64)
def clock_of(timezone: str) -> Clock:
    """Return the clock of a zone; one is kept for each zone, so that midnights are worked out once."""
    return Clock(timezone)
