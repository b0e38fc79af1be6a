"""Who works when: the crews' shift pattern, and moments within a shift on the plant's wall clock."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random

from competencies.standing.calendar import ONE_DAY, Clock

DAY, LATE, NIGHT = "day", "late", "night"
# Two of each shift and two days off; the four crews stand two days apart, so that one of them is always there.
PATTERN = (DAY, DAY, LATE, LATE, NIGHT, NIGHT, None, None)
CREWS = ("A", "B", "C", "D")
FIRST_DAY = date(2024, 1, 1)
STARTS = {DAY: 6 * 60, LATE: 14 * 60, NIGHT: 22 * 60}
SHIFT_MINUTES = 8 * 60
SATURDAY = 5


def shift_on(crew: str, day: date) -> str | None:
    """Return the shift that a crew starts on a day, or None on its day off; without a crew: days, Monday to Friday."""
    if not crew:
        return DAY if day.weekday() < SATURDAY else None
    return PATTERN[((day - FIRST_DAY).days + 2 * CREWS.index(crew)) % len(PATTERN)]


def next_shift(crew: str, day: date, *, wanted: tuple[str, ...] = (DAY, LATE, NIGHT)) -> tuple[date, str]:
    """Return the first day from `day` on on which the crew works one of the wanted shifts, and that shift."""
    while (shift := shift_on(crew, day)) not in wanted or shift is None:
        day += ONE_DAY
    return day, shift


@dataclass(frozen=True, slots=True)
class Turn:
    """A moment of work: the day the shift starts, the shift, and the moment itself in UTC."""

    on: date
    shift: str
    moment: datetime


def turn(clock: Clock, crew: str, day: date, chance: Random, *, wanted: tuple[str, ...] = (DAY, LATE, NIGHT)) -> Turn:
    """Return a moment in the first half of the crew's next shift from `day` on, at least an hour after its start."""
    on, shift = next_shift(crew, day, wanted=wanted)
    minutes = STARTS[shift] + chance.randrange(75, SHIFT_MINUTES // 2)
    return Turn(on, shift, clock.moment(on, minutes))


def last_clock_change(clock: Clock, before: date) -> date:
    """Return the last day before `before` at whose end of night the clocks go back."""
    day = before
    while clock.midnight(day) - clock.midnight(day - ONE_DAY) != timedelta(hours=25):
        day -= ONE_DAY
    return day - ONE_DAY
