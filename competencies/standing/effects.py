"""Effects: what each rule says over a stretch of time, and how effects make periods. Pure."""

from bisect import insort
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import IntEnum
from itertools import pairwise
from typing import TypeAlias

from competencies.standing.calendar import FOR_EVER, LONG_AGO
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period, Reason, Step
from competencies.standing.way_back import Remedy, in_order, own_steps
from competencies.vocabulary import Standing

# Where several hold at once, the first in this list names the standing; the reasons name all of them.
PRECEDENCE = (
    Standing.WITHDRAWN,
    Standing.SUSPENDED,
    Standing.UNDER_REVIEW,
    Standing.LAPSED,
    Standing.RESTRICTED,
    Standing.AWAITING_SIGNATURE,
    Standing.READY,
    Standing.LEARNING,
    Standing.NOT_STARTED,
    Standing.AWAITING_REVISION,
    Standing.OUT_OF_REVISION,
    Standing.STALE,
    Standing.BLOCKED,
    Standing.IN_GRACE,
    Standing.RENEWAL_DUE,
    Standing.IN_FORCE,
)
IN_FORCE = Standing.IN_FORCE
_NO_REASON = Reason("", "")
_RANK = {standing: rank for rank, standing in enumerate(PRECEDENCE)}


Stretch: TypeAlias = "tuple[datetime, datetime, list[Effect], list[Effect], Mark]"


class Weight(IntEnum):
    """How much an effect weighs: a remark, not counting for cover, or not in force at all."""

    REMARK = 0
    NO_COVER = 1
    STOP = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What a rule says over [start, end): its reason, its weight, the standing it asks for, the remedy.

    `helped_at` is the moment of the gain that ends it (the end itself where the calendar ends it). One without length
    but with a later `helped_at` is a loss at midnight that a gain of the day makes good. `steps` come before the
    person's own remedies: they are those of a prerequisite.
    """

    start: datetime
    end: datetime
    weight: Weight
    reason: Reason | None = None
    standing: Standing | None = None
    helped_at: datetime | None = None
    remedy: Remedy | None = None
    steps: tuple[Step, ...] = ()
    rests_on: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What a period shows from `start` on: last valid day, revision held, and the entries it rests on."""

    start: datetime
    last_valid_on: date | None = None
    revision: int | None = None
    rests_on: tuple[int, ...] = ()


def clipped(effects: Iterable[Effect], start: datetime) -> list[Effect]:
    """Return the effects as far as they lie at or after `start`."""
    return [
        effect if effect.start >= start else replace(effect, start=start) for effect in effects if effect.end > start
    ]


def without(
    effects: Iterable[Effect], start: datetime, end: datetime, gained_at: datetime | None = None
) -> list[Effect]:
    """Return the effects with [start, end) cut out of them; `gained_at` is the moment of the gain that cuts."""
    left: list[Effect] = []
    for effect in effects:
        if effect.end <= start or effect.start >= end:
            left.append(effect)
            continue
        if effect.start <= start:
            left.append(replace(effect, end=start, helped_at=gained_at))
        if effect.end > end:
            left.append(replace(effect, start=end))
    return left


def periods(
    effects: Iterable[Effect], marks: Sequence[Mark], task: str, scope: Scope, *, is_critical: bool
) -> tuple[Period, ...]:
    """Return the periods that the effects make: over all time, without gap or overlap, equal neighbours joined."""
    made: list[Period] = []
    for start, end, active, ghosts, mark in _stretches(effects, marks):
        remedies = [effect.remedy for effect in active if effect.remedy] if _is_stopped(active) else []
        own = own_steps(remedies, task, scope, is_critical=is_critical)
        period = Period(
            start=None if start == LONG_AGO else start,
            end=None if end == FOR_EVER else end,
            standing=(active[0].standing if active else None) or IN_FORCE,
            counts=all(effect.weight is Weight.REMARK for effect in active),
            reasons=_reasons(active),
            way_back=in_order([effect.steps for effect in active if effect.steps], own),
            last_valid_on=mark.last_valid_on,
            revision=mark.revision,
            rests_on=_rests_on(mark, active),
            gained_at=_gained_at(active, ghosts) if ghosts else None,
        )
        if made and _continues(made[-1], period):
            made[-1] = replace(made[-1], end=period.end)
        else:
            made.append(period)
    return tuple(made)


def _stretches(effects: Iterable[Effect], marks: Sequence[Mark]) -> Iterator[Stretch]:
    """Yield every stretch between two edges with the effects active in it and those just ended by a gain."""
    known = list(effects)
    placed = list(enumerate(sorted((effect for effect in known if effect.end > effect.start), key=_place)))
    made_good = _made_good(known)
    waiting = sorted(placed, key=_start, reverse=True)
    coming = list(reversed(marks))
    edges = {LONG_AGO, *made_good, *(mark.start for mark in marks)}
    edges.update(effect.start for _, effect in placed)
    edges.update(effect.end for _, effect in placed)
    starts = sorted(edges - {FOR_EVER})
    active: list[tuple[int, Effect]] = []
    ghosts: list[Effect] = []
    mark = Mark(start=LONG_AGO)
    for start, end in pairwise([*starts, FOR_EVER]):
        ended = [effect for _, effect in active if effect.end <= start]
        gone = (*ghosts, *ended, *made_good.get(start, ()))
        ghosts = [effect for effect in gone if effect.helped_at is not None and start <= effect.helped_at]
        if ended:
            active = [each for each in active if each[1].end > start]
        while waiting and waiting[-1][1].start <= start:
            insort(active, waiting.pop(), key=_index)
        while coming and coming[-1].start <= start:
            mark = coming.pop()
        yield start, end, [effect for _, effect in active], ghosts, mark


def _made_good(effects: Iterable[Effect]) -> dict[datetime, list[Effect]]:
    """Return by moment the losses that a gain of the same day makes good: only a shift begun before it feels them."""
    found: dict[datetime, list[Effect]] = {}
    for effect in effects:
        if effect.start == effect.end and effect.helped_at is not None and effect.helped_at > effect.start:
            found.setdefault(effect.start, []).append(effect)
    return found


def _start(placed: tuple[int, Effect]) -> datetime:
    return placed[1].start


def _index(placed: tuple[int, Effect]) -> int:
    return placed[0]


def _place(effect: Effect) -> tuple[int, str, str, tuple[tuple[str, str], ...]]:
    """Return the place of an effect among those of its time: the gravest standing first, then by reason."""
    why = effect.reason or _NO_REASON
    return _RANK[effect.standing or IN_FORCE], why.rule, why.code, why.params


def _reasons(active: Sequence[Effect]) -> tuple[Reason, ...]:
    """Return the reasons of effects that are in their places: equal ones are neighbours."""
    found = [effect.reason for effect in active if effect.reason]
    return tuple([each for before, each in zip([None, *found], found, strict=False) if each != before])


def _rests_on(mark: Mark, active: Iterable[Effect]) -> tuple[int, ...]:
    added = [seq for effect in active if effect.rests_on for seq in effect.rests_on]
    return tuple(sorted({*mark.rests_on, *added})) if added else mark.rests_on


def _is_stopped(active: Iterable[Effect]) -> bool:
    return any(effect.weight is Weight.STOP for effect in active)


def _gained_at(active: Iterable[Effect], ghosts: Iterable[Effect]) -> datetime | None:
    """Return the moment of the gain by which the person is in force, if it lies in this stretch or opens it."""
    if _is_stopped(active):
        return None
    return max(
        (effect.helped_at for effect in ghosts if effect.helped_at and effect.weight is Weight.STOP), default=None
    )


def _continues(before: Period, after: Period) -> bool:
    """Whether two neighbours say the same; a gain of the first is over when the second starts."""
    return (
        before.standing is after.standing
        and before.counts is after.counts
        and before.last_valid_on == after.last_valid_on
        and before.revision == after.revision
        and before.rests_on == after.rests_on
        and before.reasons == after.reasons
        and before.way_back == after.way_back
        and after.gained_at in {None, before.gained_at}
    )
