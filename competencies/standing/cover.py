"""Whether a timeline covers a whole shift (R9.1, R9.7, R10.1). Pure."""

from datetime import date

from competencies.standing.framework import Frame, Shift
from competencies.standing.timeline import Reason, Timeline


def covers_shift(timeline: Timeline, shift: Shift, start_on: date, frame: Frame) -> tuple[bool, tuple[Reason, ...]]:
    """Whether the person counts from the start of the shift to its end, and every reason why not."""
    raise NotImplementedError
