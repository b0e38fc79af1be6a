"""What was known when: a person's periods, replayed from the first entry to the last."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from competencies.queries.frame import Dependents
from competencies.standing.case import Key
from competencies.standing.facts import Fact
from competencies.standing.framework import Frame
from competencies.standing.live import known_frame
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period

EVERY_TASK = ""

# The periods known of a task in a place, by their start, each with the moment since which it is known.
KnownStarts: TypeAlias = dict[datetime | None, tuple[Period, datetime]]
Open: TypeAlias = dict[Key, KnownStarts]
Change: TypeAlias = tuple[Key, Sequence[Period]]


@dataclass(frozen=True, slots=True)
class KnownPeriod:
    """A period of a person's timeline, and the moments between which it was known (None: still)."""

    key: Key
    period: Period
    known_from: datetime
    known_to: datetime | None


class Frames:
    """A plant's frame as it was known at each moment at which something was recorded about it."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.dependents = Dependents(frame)
        self.recorded = _recorded(frame)
        self._moments = sorted(self.recorded)
        self._known: dict[int, Frame] = {}

    def at(self, moment: datetime) -> Frame:
        """Return the frame as known at a moment."""
        place = bisect_right(self._moments, moment)
        if place == len(self._moments):
            return self.frame
        if place not in self._known:
            self._known[place] = known_frame(self.frame, moment)
        return self._known[place]


def _recorded(frame: Frame) -> Mapping[datetime, frozenset[str]]:
    """Return the tasks that something was recorded about, by moment; a policy concerns every task."""
    found: dict[datetime, set[str]] = {}
    for task in frame.tasks.values():
        for terms in task.terms:
            found.setdefault(terms.recorded_at, set()).add(task.code)
        for revision in task.revisions:
            found.setdefault(revision.recorded_at, set()).add(task.code)
            if revision.reclassified_at is not None:
                found.setdefault(revision.reclassified_at, set()).add(task.code)
    for policy in frame.policies:
        if policy.recorded_at is not None:
            found.setdefault(policy.recorded_at, set()).add(EVERY_TASK)
    return {moment: frozenset(codes) for moment, codes in found.items()}


def replayed(person: int, facts: Iterable[Fact], frames: Frames) -> Iterator[KnownPeriod]:
    """Yield every period that was ever known of a person, as if it had been projected entry by entry.

    At each moment only the tasks that were written about are worked out again, and what leans on those whose
    timeline came out different.
    """
    ordered = sorted(facts, key=lambda fact: fact.recorded_at)
    if not ordered:
        return
    recorded = [fact.recorded_at for fact in ordered]
    open_periods: Open = {}
    before: PersonRule | None = None
    for moment, codes in _moments(ordered, frames):
        rule = PersonRule(person, ordered[: bisect_right(recorded, moment)], frames.at(moment))
        if before is None or before.frame is not rule.frame or EVERY_TASK in codes:
            changes = _changed(rule, codes, open_periods, frames.dependents)
        else:
            changes = _changed_since(before, rule, codes, open_periods, frames.dependents)
        for key, periods in changes:
            known = open_periods.get(key, {})
            open_periods[key] = {
                period.start: known[period.start] if _is_known(period, known) else (period, moment)
                for period in periods
            }
            yield from _ended(key, known, open_periods[key], moment)
        before = rule
    for key, known in open_periods.items():
        yield from _ended(key, known, {}, None)


def _ended(key: Key, known: KnownStarts, now_known: KnownStarts, moment: datetime | None) -> Iterator[KnownPeriod]:
    """Yield the periods that are not known any more from a moment on (None: known to this day)."""
    for start, (period, since) in known.items():
        if start not in now_known or now_known[start][0] is not period:
            yield KnownPeriod(key, period, since, moment)


def _moments(ordered: Sequence[Fact], frames: Frames) -> Iterator[tuple[datetime, frozenset[str]]]:
    """Yield each moment at which something was recorded, in order, with the tasks it was about.

    An issue of terms, procedure or policy counts once the first fact is there, and reaches whoever builds on it.
    """
    first = ordered[0].recorded_at
    found: dict[datetime, set[str]] = {}
    for moment, codes in frames.recorded.items():
        if moment > first:
            reached = (frames.dependents.of(code) if code else {EVERY_TASK} for code in codes)
            found[moment] = set().union(*reached)
    for fact in ordered:
        about = frames.dependents.written_about(fact)
        found.setdefault(fact.recorded_at, set()).update({EVERY_TASK} if about is None else about)
    for moment in sorted(found):
        yield moment, frozenset(found[moment])


def _changed_since(
    before: PersonRule, rule: PersonRule, codes: frozenset[str], known: Open, dependents: Dependents
) -> Iterator[Change]:
    """Yield the timelines that differ, where entries on some tasks are all that is new since `before`."""
    rule.adopt(before, frozenset().union(*map(dependents.of, codes)))
    differing: set[str] = set(codes)
    for key, periods in _changed(rule, codes, known, dependents):
        differing |= dependents.of(key[0])
        yield key, periods
    rule.adopt(before, differing)


def _changed(rule: PersonRule, codes: frozenset[str], known: Open, dependents: Dependents) -> Iterator[Change]:
    """Yield the timelines that differ from what is known, those that lean on a changed one included."""
    keys = [key for key in sorted({*rule.keys(), *known}) if key[0] in rule.frame.tasks]
    waiting = {key for key in keys if EVERY_TASK in codes or key[0] in codes}
    done: set[Key] = set()
    while waiting:
        key = waiting.pop()
        done.add(key)
        periods = rule.timeline(*key).periods
        before = known.get(key, {})
        if len(before) != len(periods) or not all(_is_known(period, before) for period in periods):
            yield key, periods
            leaning = dependents.of(key[0])
            waiting |= {other for other in keys if other[0] in leaning and other not in done}


def _is_known(period: Period, known: KnownStarts) -> bool:
    found = known.get(period.start)
    return found is not None and found[0] == period
