"""What the hours of a roster warn of: competent and exhausted is not cover (R9.5). Pure.

The limits follow the shift-design guidelines of the UK Health and Safety Executive (HSG256, "Managing shift work",
from memory); eleven hours between shifts are those of the Working Time Directive 2003/88/EC, article 3, from memory.
All are settings of the plant, and national law comes first.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.standing.calendar import ONE_DAY, Clock
from competencies.standing.framework import Policy, Shift
from competencies.standing.timeline import Reason, reason

HOUR = timedelta(hours=1)
# Night time on the plant's clock, and how much of it makes a night shift: the UK's Working Time Regulations 1998,
# regulation 2, from memory.
NIGHT_FROM, NIGHT_UNTIL = 23, 6
NIGHT_SHIFT = 3 * HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """A shift that a person is rostered for: the date it starts on, its bounds, and whether it is a night shift."""

    on: date
    start: datetime
    end: datetime
    is_night: bool


def duty_on(shift: Shift, on: date, clock: Clock, *, overtime_minutes: int = 0) -> Duty:
    """Return the duty of a shift that starts on a day, overtime after it included.

    Three hours of night time make it a night shift.
    """
    start, end = clock.shift_bounds(shift, on)
    end += timedelta(minutes=overtime_minutes)
    at_night = timedelta()
    # Whoever is still there in the night after has worked all of this one.
    for day in (on - ONE_DAY, on):
        dusk, dawn = clock.moment(day, NIGHT_FROM * 60), clock.moment(day, (24 + NIGHT_UNTIL) * 60)
        at_night += max(timedelta(), min(end, dawn) - max(start, dusk))
    return Duty(on=on, start=start, end=end, is_night=at_night >= NIGHT_SHIFT)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Duties that follow one another without a break."""

    duties: tuple[Duty, ...]

    @property
    def start(self) -> datetime:
        return self.duties[0].start

    @property
    def end(self) -> datetime:
        return max(duty.end for duty in self.duties)

    @property
    def hours(self) -> float:
        return (self.end - self.start) / HOUR

    @property
    def is_night(self) -> bool:
        return any(duty.is_night for duty in self.duties)


def hours_warnings(
    duties: Sequence[Duty], here: Duty, *, policy: Policy, clock: Clock, safety_critical: bool
) -> tuple[Reason, ...]:
    """Return every warning about the hours of a person on one duty.

    Parameters
    ----------
    duties
        What the person is rostered for, from more days back than the longest limit to the duty itself and what
        follows it without a break. The order does not matter.
    here
        The duty that is asked about; one of `duties`.
    policy
        The plant's limits.
    clock
        The plant's clock.
    safety_critical
        Whether the person stands at safety-critical work on that duty.

    """
    stretches = _stretches(duties)
    index = next(place for place, stretch in enumerate(stretches) if here in stretch.duties)
    return (
        *_too_long(stretches[index], policy, safety_critical=safety_critical),
        *_too_many_running(stretches[: index + 1], here, policy, clock),
        *_too_little_rest(stretches[index - 1] if index else None, stretches[index], policy, clock),
    )


def _stretches(duties: Sequence[Duty]) -> list[_Stretch]:
    found: list[_Stretch] = []
    for duty in sorted(duties, key=lambda duty: duty.start):
        if found and duty.start <= found[-1].end:
            found[-1] = _Stretch((*found[-1].duties, duty))
        else:
            found.append(_Stretch((duty,)))
    return found


def _too_long(stretch: _Stretch, policy: Policy, *, safety_critical: bool) -> Iterator[Reason]:
    hours = f"{stretch.hours:g}"
    if stretch.hours > policy.longest_hours:
        yield reason("R9.5", "hours_too_long", hours=hours, most=policy.longest_hours)
    if stretch.is_night and stretch.hours > policy.longest_hard_hours:
        yield reason("R9.5", "hours_at_night", hours=hours, most=policy.longest_hard_hours)
    if safety_critical and stretch.hours > policy.longest_hard_hours:
        yield reason("R9.5", "hours_safety_critical", hours=hours, most=policy.longest_hard_hours)


def _too_many_running(stretches: Sequence[_Stretch], here: Duty, policy: Policy, clock: Clock) -> Iterator[Reason]:
    """Yield what has gone on for too many days up to this duty."""
    early = {
        stretch.duties[0].on
        for stretch in stretches
        if not stretch.is_night and _local_hour(stretch.start, clock) < policy.early_start_hour
    }
    long = {duty.on for stretch in stretches if stretch.hours > policy.long_shift_hours for duty in stretch.duties}
    nights = {duty.on for stretch in stretches for duty in stretch.duties if duty.is_night}
    worked = {duty.on for stretch in stretches for duty in stretch.duties}
    # Each code is written out, so that the test of the words finds it.
    if (count := _running(nights, here.on)) > policy.hard_shifts_running:
        yield reason("R9.5", "nights_running", count=count, most=policy.hard_shifts_running)
    if (count := _running(long, here.on)) > policy.hard_shifts_running:
        yield reason("R9.5", "long_shifts_running", count=count, most=policy.hard_shifts_running)
    if (count := _running(early, here.on)) > policy.hard_shifts_running:
        yield reason("R9.5", "early_shifts_running", count=count, most=policy.hard_shifts_running)
    if (count := _running(worked, here.on)) > policy.days_running:
        yield reason("R9.5", "days_running", count=count, most=policy.days_running)


def _running(days: set[date], last: date) -> int:
    """Return how many of `days` follow one another up to the last, that day in."""
    count = 0
    while last - count * ONE_DAY in days:
        count += 1
    return count


def _local_hour(moment: datetime, clock: Clock) -> float:
    return (moment - clock.moment(clock.day(moment), 0)) / HOUR


def _too_little_rest(before: _Stretch | None, stretch: _Stretch, policy: Policy, clock: Clock) -> Iterator[Reason]:
    if before is None:
        return
    rest = stretch.start - before.end
    if rest < policy.rest_hours * HOUR:
        yield reason("R9.5", "short_rest", hours=f"{rest / HOUR:g}", least=policy.rest_hours)
    if stretch.is_night and not before.is_night:
        nights = _full_nights(before.end, stretch.start, clock)
        if nights < policy.nights_of_sleep:
            yield reason("R9.5", "too_few_nights_of_sleep", count=nights, least=policy.nights_of_sleep)


def _full_nights(start: datetime, end: datetime, clock: Clock) -> int:
    """Return how many whole nights lie between two moments."""
    count, day = 0, clock.day(start) - ONE_DAY
    while clock.moment(day, (24 + NIGHT_UNTIL) * 60) <= end:
        count += clock.moment(day, NIGHT_FROM * 60) >= start
        day += ONE_DAY
    return count
