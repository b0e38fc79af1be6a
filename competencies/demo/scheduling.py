"""Lets many courses of events take turns in the order of their moments, as they would have happened."""

from collections.abc import Generator
from dataclasses import dataclass, field
from datetime import datetime
from heapq import heappop, heappush
from typing import TypeAlias

# A course of events yields the moment of its next act, and acts when it is resumed.
Course: TypeAlias = Generator[datetime, None, None]


class CourseOverError(Exception):
    """What was still to be done is not: the person has left, or there is no more to do."""


@dataclass(slots=True)
class Schedule:
    """Courses of events, each waiting for its next moment; `now` is the moment of the act that goes on."""

    now: datetime
    _waiting: list[tuple[datetime, int, Course]] = field(default_factory=list)
    _started: int = 0

    def start(self, course: Course) -> None:
        """Let a course wait for its first moment."""
        self._started += 1
        self._wait(course, self._started)

    def run_until(self, end: datetime) -> None:
        """Let the courses act, moment by moment, until `end`; those that want to act later go on waiting."""
        while self._waiting and self._waiting[0][0] < end:
            moment, number, course = heappop(self._waiting)
            self.now = max(self.now, moment)
            self._wait(course, number)

    def _wait(self, course: Course, number: int) -> None:
        try:
            moment = next(course, None)
        except CourseOverError:
            return
        if moment is not None:
            heappush(self._waiting, (max(moment, self.now), number, course))
