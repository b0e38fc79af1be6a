"""Whether a timeline covers a whole shift, or until when (R9.1, R9.7, R10.1, R6.5). Pure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.standing.calendar import clock_of
from competencies.standing.framework import Frame, Shift
from competencies.standing.timeline import Period, Reason, Step, Timeline, reason


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftVerdict:
    """How far a person counts on a shift.

    `until` is the moment up to which they count: its end where they count throughout, its start where not at all.
    `reasons` says why they do not count to the end, `way_back` what puts it right. `last_valid_on` is the last valid
    day of the sign-off as it stands at the start.
    """

    until: datetime
    counts: bool
    last_valid_on: date | None = None
    reasons: tuple[Reason, ...] = ()
    way_back: tuple[Step, ...] = ()


def judge_shift(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> ShiftVerdict:
    """Return how far the person counts on the shift that starts on a day.

    A loss by decision splits the shift at its minute (R6.5). A loss by the calendar comes at midnight, and then the
    person does not count at all: in force is asked on every date that the shift touches (R9.1).
    """
    start, end = clock_of(frame.timezone).shift_bounds(shift, start_on)
    reasons = tuple(dict.fromkeys(_reasons(timeline, shift, start_on, frame)))
    last_valid_on = timeline.at(start).last_valid_on
    if not reasons:
        return ShiftVerdict(until=end, counts=True, last_valid_on=last_valid_on)
    periods = timeline.between(start, end)
    way_back = next((period.way_back for period in periods if not period.counts), ())
    until = start if _is_barred_by_age(timeline, shift, start_on) else _until(periods, start, frame)
    return ShiftVerdict(until=until, counts=False, last_valid_on=last_valid_on, reasons=reasons, way_back=way_back)


def covers_shift(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> tuple[bool, tuple[Reason, ...]]:
    """Whether the person counts from the start of the shift to its end, and every reason why not.

    A gain made after the shift began does not help it, though its standing holds for the day (3.17). A bar for age
    lifts at 00:00 of its date, so that a shift begun on the day before is not helped (R10.1).
    """
    verdict = judge_shift(timeline, shift, start_on, frame)
    return verdict.counts, verdict.reasons


def is_night(shift: Shift) -> bool:
    """Whether a shift touches two dates."""
    return 0 < shift.ends <= shift.starts


def _until(periods: Sequence[Period], start: datetime, frame: Frame) -> datetime:
    clock = clock_of(frame.timezone)
    for period in periods:
        if period.counts and (period.gained_at is None or period.gained_at <= start):
            continue
        lost_at = period.start
        # What comes at midnight is the calendar's, and bars the whole shift; so does a period gained too late.
        if period.counts or lost_at is None or lost_at <= start or clock.midnight(clock.day(lost_at)) == lost_at:
            return start
        return lost_at
    return start


def _is_barred_by_age(timeline: Timeline, shift: Shift, start_on: date) -> bool:
    free_on = timeline.restricted_until
    return is_night(shift) and free_on is not None and start_on < free_on


def _reasons(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> Iterator[Reason]:
    start, end = clock_of(frame.timezone).shift_bounds(shift, start_on)
    for period in timeline.between(start, end):
        if not period.counts:
            yield from period.reasons
        elif period.gained_at is not None and period.gained_at > start:
            yield reason("R9.1", "gained_later", at=period.gained_at.isoformat())
    if _is_barred_by_age(timeline, shift, start_on):
        yield reason("R10.3", "night", until=timeline.restricted_until)
