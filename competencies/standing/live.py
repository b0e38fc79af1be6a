"""Which facts are known at a moment, and which of those stand after corrections (R7, R13). Pure."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from competencies.standing.calendar import clock_of
from competencies.standing.facts import Correction, Fact, Run
from competencies.standing.framework import Frame, Revision, TaskFrame
from competencies.vocabulary import ChangeClass


def known_at(facts: Iterable[Fact], moment: datetime) -> list[Fact]:
    """Return the facts that were recorded by `moment` (that moment included); a run not confirmed by then is not."""
    return [_unconfirmed(fact, moment) for fact in facts if fact.recorded_at <= moment]


def _unconfirmed(fact: Fact, moment: datetime) -> Fact:
    if isinstance(fact, Run) and fact.confirmed_at is not None and fact.confirmed_at > moment:
        return replace(fact, confirmed_at=None)
    return fact


def known_frame(frame: Frame, moment: datetime) -> Frame:
    """Return the frame as it was recorded by `moment`: later terms, revisions, classes and policies left out."""
    tasks = {code: _known_task(task, moment) for code, task in frame.tasks.items()}
    policies = tuple(policy for policy in frame.policies if policy.recorded_at is None or policy.recorded_at <= moment)
    kept = {code: task for code, task in tasks.items() if task.terms}
    return replace(frame, tasks=kept, policies=policies or frame.policies[:1])


def _known_task(task: TaskFrame, moment: datetime) -> TaskFrame:
    terms = tuple(terms for terms in task.terms if terms.recorded_at <= moment)
    revisions = tuple(
        _known_revision(revision, moment) for revision in task.revisions if revision.recorded_at <= moment
    )
    return replace(task, terms=terms, revisions=revisions)


def _known_revision(revision: Revision, moment: datetime) -> Revision:
    """Return a revision with the class it had: before its reclassification is known it is minor (R4.8)."""
    if revision.reclassified_at is None or revision.reclassified_at <= moment:
        return revision
    return replace(revision, change=ChangeClass.MINOR, reclassified_at=None)


def corrected(facts: Iterable[Fact]) -> set[int]:
    """Return the places of the entries that stand corrected; a correction that was itself corrected does nothing."""
    corrections = [fact for fact in facts if isinstance(fact, Correction)]
    found: set[int] = set()
    for correction in sorted(corrections, key=lambda fact: fact.seq, reverse=True):
        if correction.seq not in found:
            found.add(correction.of)
    return found


def recorded_late_on(frame: Frame, *, happened_on: date, recorded_at: datetime) -> date | None:
    """Return the plant's day on which an entry was written down, where that was too late to act as signed (R2.6)."""
    recorded_on = clock_of(frame.timezone).day(recorded_at)
    is_late = (recorded_on - happened_on).days > frame.policy_on(happened_on).late_entry_days
    return recorded_on if is_late else None


def live(facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that stand: corrected entries and the corrections themselves are left out (R7)."""
    known = list(facts)
    out = corrected(known)
    return [fact for fact in known if fact.seq not in out and not isinstance(fact, Correction)]
