"""Stretches of time in which something holds, and how they combine (R6.3). Pure.

A span is half open. A gain acts from 00:00 of its day, but `gained_at` keeps its moment (3.17).
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from competencies.standing.calendar import FOR_EVER, LONG_AGO
from competencies.standing.timeline import Timeline


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch [start, end) in UTC; `gained_at` is the moment from which a shift may rely on it."""

    start: datetime
    end: datetime
    gained_at: datetime


@dataclass(frozen=True, slots=True)
class Gain:
    """A gain: it acts from `start` (00:00 of its day), its moment is `moment`."""

    start: datetime
    moment: datetime
    seqs: tuple[int, ...] = ()

    def end_of(self, lost_at: datetime) -> datetime:
        """Return when a loss at `lost_at` ends by this gain: never before the loss, even on the same day."""
        return self.start if self.start > lost_at else max(self.moment, lost_at)


def in_force_spans(timeline: Timeline) -> tuple[Span, ...]:
    """Return when the sign-off holds, whatever the age or employment of the person (R2.1).

    A loss at midnight that a gain of the day makes good parts two spans that touch.
    """
    spans: list[Span] = []
    for period in timeline.periods:
        if not period.standing.is_in_force:
            continue
        start = period.start or LONG_AGO
        end = period.end or FOR_EVER
        if spans and spans[-1].end == start and period.gained_at in {None, spans[-1].gained_at}:
            spans[-1] = Span(spans[-1].start, end, spans[-1].gained_at)
        else:
            spans.append(Span(start, end, period.gained_at or start))
    return tuple(spans)


def union(groups: Iterable[Sequence[Span]]) -> tuple[Span, ...]:
    """Return when at least one of several holds."""
    merged: list[Span] = []
    for span in sorted(span for group in groups for span in group):
        if merged and (span.start < merged[-1].end or span.start == span.gained_at == merged[-1].end):
            last = merged[-1]
            merged[-1] = Span(last.start, max(last.end, span.end), min(last.gained_at, span.gained_at))
        else:
            merged.append(span)
    return tuple(merged)


def overlap(first: Sequence[Span], second: Sequence[Span]) -> tuple[Span, ...]:
    """Return when both of two hold."""
    found = []
    for one in first:
        for other in second:
            start, end = max(one.start, other.start), min(one.end, other.end)
            if start < end:
                found.append(Span(start, end, max(start, one.gained_at, other.gained_at)))
    return tuple(sorted(found))


def gaps(spans: Sequence[Span]) -> list[tuple[datetime, datetime, datetime]]:
    """Return (start, end, moment of the gain that ends it) of every stretch outside the spans.

    One without length is a loss at midnight that a gain of the day makes good.
    """
    found = []
    start = LONG_AGO
    for span in spans:
        helped_at = max(span.start, span.gained_at)
        if helped_at > start:
            found.append((start, span.start, helped_at))
        start = span.end
    if start < FOR_EVER:
        found.append((start, FOR_EVER, FOR_EVER))
    return found


def holds_at(spans: Sequence[Span], moment: datetime) -> bool:
    """Whether one of the spans (in order) holds at a moment."""
    index = bisect_right(spans, moment, key=_start) - 1
    return index >= 0 and moment < spans[index].end


def _start(span: Span) -> datetime:
    return span.start
