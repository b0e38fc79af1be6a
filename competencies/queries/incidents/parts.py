"""What is found about a minute on a line, without a name in it: so it can be kept for good, and told at any time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from competencies.standing.timeline import Reason
from competencies.vocabulary import Standing


class Way(StrEnum):
    """How it is known that somebody was there, or should have been."""

    ROSTER = "roster"
    ROSTER_ANYWHERE = "roster_anywhere"
    AWAY = "away"
    RUN = "run"
    WATCHED = "watched"
    WORK = "work"
    JUDGED = "judged"
    TRAINEE = "trainee"
    TRAINER = "trainer"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """One answer about a person at a station: the standing at the minute, and whether they counted on that shift."""

    standing: Standing
    counts: bool
    last_valid_on: date | None
    revision: int | None
    reasons: tuple[Reason, ...]
    rests_on: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AtStation:
    """A person at a station by both clocks; `between` are the entries that were recorded since and changed it."""

    person: int
    then: Said
    now: Said
    between: tuple[int, ...] = ()

    @property
    def differs(self) -> bool:
        """Whether something else is said now than could be said then; by which entries does not matter."""
        return said_apart(self.then) != said_apart(self.now)


def said_apart(said: Said) -> tuple[object, ...]:
    """Return what of an answer decides whether two of them are the same; nothing begun is one answer."""
    if said.standing is Standing.NOT_STARTED:
        return (said.standing,)
    return said.standing, said.counts, said.last_valid_on, said.revision, frozenset(said.reasons)


@dataclass(frozen=True, slots=True, kw_only=True)
class StationFound:
    """A station with the revision of its procedure in force on the day, by both clocks, and who ever touched it."""

    task: str
    scope: str
    needed: int
    is_critical: bool
    revision_then: int | None
    revision_now: int | None
    people: tuple[AtStation, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Presence:
    """A person with every way it is known that they were there; `entries` are those that tell it."""

    person: int
    ways: tuple[Way, ...]
    entries: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonFound:
    """Who learned what under whom."""

    trainee: int
    trainer: int
    task: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedBy:
    """The assessment behind a sign-off, and why its assessor was not entitled: as known when written, and now."""

    seq: int
    person: int
    task: str
    on: date
    assessor: int
    then: tuple[Reason, ...]
    now: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """What the hours of a person warned of."""

    person: int
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class IncidentFound:
    """A minute on a line: `then` is the knowledge of that minute, `known_at` that of when it was looked at.

    `size` is the number of ledger entries it was read from, `holds` the open legal holds over it, by incident.
    """

    line: str
    shift: str
    on: date
    start: datetime
    end: datetime
    moment: datetime
    known_at: datetime
    size: int
    covered_then: bool
    covered_now: bool
    stations: tuple[StationFound, ...]
    present: tuple[Presence, ...]
    lessons: tuple[LessonFound, ...]
    hours: tuple[Warned, ...]
    signed: tuple[SignedBy, ...]
    holds: tuple[str, ...]

    @property
    def people(self) -> frozenset[int]:
        """Return everybody it names."""
        named = {each.person for each in self.present} | {each.person for each in self.hours}
        named |= {each.person for station in self.stations for each in station.people}
        named |= {each.person for each in self.signed}
        named |= {each.assessor for each in self.signed}
        return frozenset(named | {number for each in self.lessons for number in (each.trainee, each.trainer)})

    @property
    def differing(self) -> Sequence[tuple[StationFound, AtStation]]:
        """Return who counted, or stood, otherwise by the other clock."""
        return [(station, each) for station in self.stations for each in station.people if each.differs]
