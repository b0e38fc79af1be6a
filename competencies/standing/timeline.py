"""Timelines: periods of time with a standing, what it counts for, every reason and the way back. Pure."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from competencies.standing.facts import Scope
from competencies.vocabulary import Standing

_LONG_AGO = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, order=True)
class Reason:
    """Why a standing is what it is: the rule's number, a code, and what the sentence needs.

    The words are made where they are shown (`competencies.wording`), so that they can be translated.
    `params` are (name, value) pairs, values as text, sorted by name.
    """

    rule: str
    code: str
    params: tuple[tuple[str, str], ...] = ()


def reason(rule: str, code: str, **params: object) -> Reason:
    """Return a reason with its parameters as text, in order of their names."""
    return Reason(rule, code, tuple([(name, str(value)) for name, value in sorted(params.items())]))


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the way back: what is to be done, on which task and scope, how often."""

    action: str
    task: str
    scope: Scope
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """A half-open stretch [start, end) of time, in UTC; None stands for no limit.

    `counts` is counting for cover apart from the roster. `gained_at` is the moment of the gain that opened the
    period: a shift that had begun before it is not helped (trade rule on gains). `rests_on` are ledger places.
    """

    start: datetime | None
    end: datetime | None
    standing: Standing
    counts: bool
    reasons: tuple[Reason, ...] = ()
    way_back: tuple[Step, ...] = ()
    last_valid_on: date | None = None
    revision: int | None = None
    rests_on: tuple[int, ...] = ()
    gained_at: datetime | None = None

    def holds_at(self, moment: datetime) -> bool:
        """Whether `moment` lies in the period."""
        return (self.start is None or self.start <= moment) and (self.end is None or moment < self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The periods of one person on one task in one scope: in order, without gap or overlap, over all time.

    `restricted_until` is the first day without the young-worker bar, which also keeps the person off nights (R10.3).
    """

    person: int
    task: str
    scope: Scope
    periods: Sequence[Period]
    restricted_until: date | None = None

    def at(self, moment: datetime) -> Period:
        """Return the period that holds at `moment` (an aware datetime)."""
        return self.periods[bisect_right(self.periods, moment, key=_opening) - 1]

    def between(self, start: datetime, end: datetime) -> Sequence[Period]:
        """Return the periods that touch [start, end), in order."""
        first = bisect_right(self.periods, start, key=_opening) - 1
        last = bisect_left(self.periods, end, key=_opening)
        return self.periods[first:last]


def _opening(period: Period) -> datetime:
    return _LONG_AGO if period.start is None else period.start
