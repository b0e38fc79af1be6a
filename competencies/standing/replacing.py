"""What a correction writes: what is struck, what is entered in its place, and what goes with it (R7). Pure.

The entries are told with places from `UNWRITTEN` on, in the order in which they are to be written; those that point at
one another do so by these places until the ledger gives the real ones.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

from competencies.standing.calendar import Clock, clock_of
from competencies.standing.entitlement import Refusal, refusal
from competencies.standing.facts import (
    Absence,
    Acknowledgement,
    Annulment,
    Appeal,
    Assessment,
    AttemptsReviewed,
    Check,
    CheckOwed,
    Correction,
    Fact,
    InitialTrainer,
    Lifting,
    OutcomeSeen,
    PeopleJoined,
    PeopleParted,
    Performance,
    Recognition,
    Reverification,
    Review,
    Run,
    RunAccepted,
    Scope,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.framework import Frame
from competencies.standing.live import corrected
from competencies.vocabulary import CorrectionCause

# A place that no entry has: stands in a fact that is judged before it is written.
UNWRITTEN = 2**62
# These point at the entry that they are about, and go where it goes.
GOES_WITH = (RunAccepted, SecondSignature, Lifting, Annulment, Review, Reverification, OutcomeSeen, Appeal)
STANDS_ALONE = (
    *(Run, Check, Assessment, Acknowledgement, Recognition, Performance, Suspension, Withdrawal),
    *(CheckOwed, InitialTrainer, Absence, AttemptsReviewed),
)
ON_REVISION = (Run, Assessment, Acknowledgement)
PLACES = frozenset({CorrectionCause.WRONG_TASK, CorrectionCause.WRONG_SCOPE})


@dataclass(frozen=True, slots=True, kw_only=True)
class Instead:
    """What an entry should have said; None for what it said rightly. `on` is the date a shift starts, for a run."""

    person: int | None = None
    task: str | None = None
    scope: Scope | None = None
    on: date | None = None
    happened_at: datetime | None = None
    shift: str | None = None
    revision: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is wrong with an entry, why that is said, and what is right: `instead`, or the `twin` of a double."""

    cause: CorrectionCause
    reason: str
    instead: Instead | None = None
    twin: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """One entry to be written. `source` is the entry that it stands in for; None for a correction."""

    fact: Fact
    source: Fact | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Correcting:
    """Who corrects, and when."""

    by: int
    on: date
    happened_at: datetime
    now: datetime


def planned(
    entry: Fact, change: Change, *, facts: Sequence[Fact], made: Sequence[Fact], act: Correcting, frame: Frame
) -> list[Planned]:
    """Return what a correction of `entry` writes, in order; the correction itself is the first one of its kind.

    `facts` are those of the person whose entry it is, as known. `made` are the entries that a corrected correction
    made in place of what it struck: they fall with it.
    """
    plan = _Plan(act)
    if isinstance(entry, Correction):
        plan.undo(entry, facts, made)
        return plan.entries
    carried = going_with(entry, facts)
    if change.instead is not None:
        right = replacement(entry, change.instead, frame=frame)
        first = plan.enter(right, entry)
        plan.strike(entry, instead=first)
        for fact in carried:
            plan.strike(fact, instead=plan.enter(replace(fact, **_of_the_new(right, first)), fact))
    else:
        plan.strike(entry, twin=change.twin)
        for fact in carried if change.twin is not None else ():
            plan.strike(fact, instead=plan.enter(replace(fact, of=change.twin), fact))  # type: ignore[call-arg]
    return plan.entries


def _of_the_new(right: Fact, place: int) -> dict[str, Any]:
    return {"of": place, "person": right.person, "task": right.task, "scope": right.scope}


class _Plan:
    """Collects the entries of one act."""

    def __init__(self, act: Correcting) -> None:
        self.act = act
        self.entries: list[Planned] = []

    def enter(self, fact: Fact, source: Fact) -> int:
        """Enter a fact in place of another; returns the place it has until it is written."""
        place = UNWRITTEN + len(self.entries)
        new = replace(
            fact,
            seq=place,
            recorded_at=self.act.now,
            stands_for=source.seq,
            first_seq=source.place,
            first_recorded_at=source.written_at,
        )
        self.entries.append(Planned(fact=new, source=source))
        return place

    def strike(self, fact: Fact, *, instead: int | None = None, twin: int | None = None) -> None:
        """Correct an entry."""
        correction = Correction(
            seq=UNWRITTEN + len(self.entries),
            person=fact.person,
            happened_at=self.act.happened_at,
            recorded_at=self.act.now,
            on=self.act.on,
            task=fact.task,
            scope=fact.scope,
            by=self.act.by,
            of=fact.seq,
            instead=instead,
            twin=twin,
            other=_watching(fact),
        )
        self.entries.append(Planned(fact=correction))

    def undo(self, correction: Correction, facts: Sequence[Fact], made: Sequence[Fact]) -> None:
        """Correct a correction, those written with it, and what they made in place of what they struck."""
        standing = [fact for fact in (correction, *companions(correction, facts)) if fact.seq not in corrected(facts)]
        for fact in (*standing, *made):
            self.strike(fact)


def _watching(fact: Fact) -> int | None:
    """Return who else an entry tells of: who watched or judged, also where a correction of it is corrected."""
    if isinstance(fact, Correction):
        return fact.other
    return fact.by if isinstance(fact, Run | Assessment) and fact.by != fact.person else None


def going_with(entry: Fact, facts: Iterable[Fact]) -> list[Fact]:
    """Return the entries that stand and point at one, in order: signatures, acceptances, liftings."""
    known = list(facts)
    out = corrected(known)
    return [
        fact
        for fact in known
        if isinstance(fact, GOES_WITH) and getattr(fact, "of", None) == entry.seq and fact.seq not in out
    ]


def companions(correction: Correction, facts: Iterable[Fact]) -> list[Correction]:
    """Return the corrections that were written with one, of what went with the entry that it corrects."""
    known = list(facts)
    about = {fact.seq: fact for fact in known}
    return [
        fact
        for fact in known
        if isinstance(fact, Correction)
        and (fact.recorded_at, fact.by) == (correction.recorded_at, correction.by)
        and isinstance(about.get(fact.of), GOES_WITH)
        and getattr(about[fact.of], "of", None) == correction.of
    ]


def replacement(entry: Fact, instead: Instead, *, frame: Frame) -> Fact:
    """Return the entry as it should have been. What is not named in `instead` stays as it was.

    An entry on the revision that was in force on its day is taken to be on the one in force on the right day.
    """
    on, happened_at = _moved(entry, instead, clock_of(frame.timezone))
    task = entry.task if instead.task is None else instead.task
    values: dict[str, Any] = {
        "person": entry.person if instead.person is None else instead.person,
        "task": task,
        "scope": entry.scope if instead.scope is None else instead.scope,
        "on": on,
        "happened_at": happened_at,
    }
    if isinstance(entry, Run) and instead.shift:
        values["shift"] = instead.shift
    if isinstance(entry, ON_REVISION):
        values["revision"] = instead.revision or _revision(entry.revision, entry, (task, on), frame)
    return replace(entry, **values)


def _moved(entry: Fact, instead: Instead, clock: Clock) -> tuple[date, datetime]:
    if instead.happened_at is not None:
        # The date that a shift starts moves by as many days as the moment does: a night's small hours stay its own.
        days = clock.day(instead.happened_at) - clock.day(entry.happened_at)
        return instead.on or entry.on + days, instead.happened_at
    if instead.on is None or instead.on == entry.on:
        return entry.on, entry.happened_at
    # The same time by the wall clock, so that a change of the clocks between moves nothing.
    wall = entry.happened_at.astimezone(clock.zone)
    day = instead.on + (wall.date() - entry.on)
    return instead.on, datetime.combine(day, wall.time(), clock.zone).astimezone(UTC)


def _revision(number: int, entry: Fact, place: tuple[str, date], frame: Frame) -> int:
    before, after = frame.tasks.get(entry.task), frame.tasks.get(place[0])
    was_current = before is not None and (current := before.revision_on(entry.on)) and current.number == number
    right = after.revision_on(place[1]) if after else None
    return right.number if was_current and right is not None else number


def refuse_change(entry: Fact, change: Change, *, facts: Sequence[Fact], frame: Frame) -> Iterator[Refusal]:
    """R7: why an entry cannot be corrected in this way, whoever corrects it."""
    if isinstance(entry, PeopleJoined | PeopleParted):
        yield refusal("R7", "part_instead")
    elif isinstance(entry, Correction):
        if change.instead is not None or change.twin is not None:
            yield refusal("R7", "not_replaceable")
    elif change.instead is not None:
        yield from _refuse_instead(entry, change, change.instead, frame)
    elif change.cause is CorrectionCause.DOUBLE_ENTRY:
        yield from _refuse_twin(entry, change.twin, facts)


def _refuse_instead(entry: Fact, change: Change, instead: Instead, frame: Frame) -> Iterator[Refusal]:
    is_dated = change.cause is CorrectionCause.WRONG_DATE
    if isinstance(entry, GOES_WITH):
        if not is_dated:
            yield refusal("R7", "follows_another", entry=getattr(entry, "of", ""))
            return
    elif not isinstance(entry, STANDS_ALONE) or (change.cause in PLACES and not entry.task):
        yield refusal("R7", "not_replaceable")
        return
    right = replacement(entry, instead, frame=frame)
    if right == entry:
        yield refusal("R7", "nothing_instead")
    if right.happened_at > entry.written_at:
        yield refusal("R7", "recorded_before", at=entry.written_at.isoformat())


def _refuse_twin(entry: Fact, twin: int | None, facts: Sequence[Fact]) -> Iterator[Refusal]:
    if twin not in {fact.seq for fact in twins_of(entry, facts)}:
        yield refusal("R7", "no_twin")


def twins_of(entry: Fact, facts: Iterable[Fact]) -> list[Fact]:
    """Return the entries that stand and may say the same as one: same kind, person, task and place; nearest first."""
    known = list(facts)
    out = corrected(known)
    found = [
        fact
        for fact in known
        if fact.seq not in out | {entry.seq} and type(fact) is type(entry) and _about(fact) == _about(entry)
    ]
    return sorted(found, key=lambda fact: (abs(fact.happened_at - entry.happened_at), fact.seq))


def _about(fact: Fact) -> tuple[object, ...]:
    points_at = (getattr(fact, "calculation", None), getattr(fact, "of", None))
    return (fact.person, fact.task, fact.scope, *points_at)


def refuse_undoing(*, made: Iterable[Fact], facts_of_made: Iterable[Fact]) -> Iterator[Refusal]:
    """R7: why a correction cannot be undone: what it made in place of the entry was corrected or signed since.

    `facts_of_made` are those of the person whom `made` is about.
    """
    known = list(facts_of_made)
    out, seqs = corrected(known), {fact.seq for fact in made}
    for fact in made:
        later = [each for each in going_with(fact, known) if each.seq not in seqs]
        if fact.seq in out or later:
            yield refusal("R7", "instead_corrected", entry=fact.seq)
