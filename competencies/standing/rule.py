"""The standing rule of one person: known facts and the frame in, timelines and progress out. Pure."""

from collections.abc import Iterable
from datetime import date, datetime

from competencies.standing.facts import Fact, Scope
from competencies.standing.framework import Frame
from competencies.standing.readiness import Progress, Purpose
from competencies.standing.timeline import Timeline


class PersonRule:
    """What follows from one person's known facts; every answer is worked out once and kept.

    `facts` are those known (see `live.known_at`), in any order; `frame` is the plant as known.
    """

    def __init__(self, person: int, facts: Iterable[Fact], frame: Frame) -> None:
        raise NotImplementedError

    def keys(self) -> tuple[tuple[str, Scope], ...]:
        """Return every (task, scope) that the person has entries for, sorted."""
        raise NotImplementedError

    def timeline(self, task: str, scope: Scope) -> Timeline:
        """Return the person's timeline on a task in a scope, over all time. Raises KeyError for an unknown task."""
        raise NotImplementedError

    def progress(self, task: str, scope: Scope, moment: datetime) -> Progress:
        """Return how far the person is at `moment`."""
        raise NotImplementedError

    def purpose(self, task: str, scope: Scope, on: date) -> Purpose:
        """Return what an assessment on that day would be, and what it would ask."""
        raise NotImplementedError
