"""Prerequisites: a task is blocked while one is out, and heals by itself (R6.3). Pure."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from competencies.standing.calendar import FOR_EVER, LONG_AGO
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import Scope
from competencies.standing.framework import Wanted
from competencies.standing.signoffs import Holding
from competencies.standing.spans import Span, gaps, overlap, union
from competencies.standing.timeline import Period, Step, Timeline, reason
from competencies.vocabulary import Standing


@dataclass(frozen=True, slots=True)
class Need:
    """A prerequisite of a task at a scope: the timelines any one of which serves, and when one does.

    `scope` is the one to name where the prerequisite is out; `steps` is the way to it where the person has no entry
    yet at any scope that would serve.
    """

    task: str
    scope: Scope
    timelines: tuple[Timeline, ...] = ()
    spans: tuple[Span, ...] = ()
    steps: tuple[Step, ...] = ()


def blocked_effects(held: Holding, starts_at: datetime, needs_of: Callable[[Wanted], Need]) -> Iterator[Effect]:
    """Yield the stretches, from the first entry on, in which a prerequisite is out, with its own way back first."""
    for start, end, wanted in _terms_in_time(held):
        for each in wanted:
            need = needs_of(each)
            for gap_start, gap_end, helped_at in gaps(need.spans):
                since, until = max(gap_start, start, starts_at), min(gap_end, end)
                if since <= until and since < end:
                    yield from _blocked(need, since, until, helped_at if until == gap_end else None)


def unblocked(spans: Sequence[Span], blocked: Iterable[Effect]) -> tuple[Span, ...]:
    """Return the parts of some stretches in which no prerequisite is out (R2.1)."""
    out = union([[Span(effect.start, effect.end, effect.start) for effect in blocked]])
    return overlap(spans, [Span(*free) for free in gaps(out)])


def _blocked(need: Need, start: datetime, end: datetime, helped_at: datetime | None) -> Iterator[Effect]:
    why = reason("R6.3", "blocked", task=need.task, scope=need.scope)
    for piece, until, period in _pieces(need, start, end):
        yield Effect(
            start=piece,
            end=until,
            weight=Weight.STOP,
            standing=Standing.BLOCKED,
            reason=why,
            helped_at=helped_at,
            steps=period.way_back if period else need.steps,
        )


def _pieces(need: Need, start: datetime, end: datetime) -> Iterator[tuple[datetime, datetime, Period | None]]:
    """Yield the stretches of a gap by the periods of the prerequisite that is nearest to coming back."""
    if start == end or not need.timelines:
        yield start, end, None
        return
    nearest = min(need.timelines, key=lambda timeline: len(timeline.at(start).way_back))
    for period in nearest.between(start, end):
        yield max(start, period.start or LONG_AGO), min(end, period.end or FOR_EVER), period


def _terms_in_time(held: Holding) -> Iterator[tuple[datetime, datetime, Sequence[Wanted]]]:
    """Yield the prerequisites of a case over time: a sign-off keeps its terms unless decided otherwise (R4.11)."""
    changes = [(start, terms.needs) for start, _, terms in held.case.terms_in_time() if start < held.held_from]
    changes += [
        (each.start, each.terms.needs)
        for signoff, follower in held.governed()
        for each in signoff.reckonings
        if follower is None or each.start < follower.gain.start
    ]
    for (start, wanted), (end, _) in pairwise([*changes, (FOR_EVER, ())]):
        yield start, end, wanted
