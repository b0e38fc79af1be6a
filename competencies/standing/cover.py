"""Whether a timeline covers a whole shift (R9.1, R9.7, R10.1). Pure."""

from collections.abc import Iterator
from datetime import date

from competencies.standing.calendar import clock_of
from competencies.standing.framework import Frame, Shift
from competencies.standing.timeline import Reason, Timeline, reason


def covers_shift(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> tuple[bool, tuple[Reason, ...]]:
    """Whether the person counts from the start of the shift to its end, and every reason why not.

    A gain made after the shift began does not help it, though its standing holds for the day (3.17). A bar for age
    lifts at 00:00 of its date, so that a shift begun on the day before is not helped (R10.1).
    """
    reasons = dict.fromkeys(_reasons(timeline, shift, start_on, frame))
    return not reasons, tuple(reasons)


def is_night(shift: Shift) -> bool:
    """Whether a shift touches two dates."""
    return 0 < shift.ends <= shift.starts


def _reasons(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> Iterator[Reason]:
    start, end = clock_of(frame.timezone).shift_bounds(shift, start_on)
    for period in timeline.between(start, end):
        if not period.counts:
            yield from period.reasons
        elif period.gained_at is not None and period.gained_at > start:
            yield reason("R9.1", "gained_later", at=period.gained_at.isoformat())
    free_on = timeline.restricted_until
    if is_night(shift) and free_on is not None and start_on < free_on:
        yield reason("R10.3", "night", until=free_on)
