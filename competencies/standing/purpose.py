"""What an assessment on a day would be, and what it asks (R3.2, R3.4, R4.4, R5.1, R6.2, R11, R12). Pure."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from math import ceil

from competencies.standing.calendar import days_after
from competencies.standing.case import Case, order_of
from competencies.standing.facts import Acknowledgement, Assessment, Recognition, Run, Withdrawal
from competencies.standing.framework import Revision, Terms
from competencies.standing.readiness import Purpose, PurposeKind
from competencies.standing.revisions import gap_criteria, is_major, known_revisions, majors_between
from competencies.standing.signoffs import Holding, SignOff, State
from competencies.standing.validity import lapse_runs
from competencies.vocabulary import Judgement


def purpose_at(
    held: Holding,
    moment: datetime,
    *,
    is_held_elsewhere: bool,
    revision: int | None = None,
    is_delta: bool | None = None,
) -> Purpose:
    """Return what an assessment at a moment would be, on a revision and as a delta or not where these are given."""
    number = target_revision(held, moment) if revision is None else revision
    base = _base(held, moment, number, is_delta=is_delta, is_held_elsewhere=is_held_elsewhere)
    return _reassessed(held, moment, base)


def target_revision(held: Holding, moment: datetime) -> int:
    """Return the revision in force, or the coming one where the newest run was made on it (R4.7)."""
    case, day = held.case, held.case.clock.day(moment)
    current = case.task.revision_on(day)
    number = current.number if current else 1
    runs = [run.revision for run in case.all_of(Run) if run.happened_at <= moment]
    coming = case.task.revision(runs[-1]) if runs else None
    return max(number, coming.number) if coming and coming.approved_on <= day else number


def _base(
    held: Holding, moment: datetime, revision: int, *, is_delta: bool | None, is_held_elsewhere: bool
) -> Purpose:
    case, day = held.case, held.case.clock.day(moment)
    terms, issue = case.terms_on(day), case.task.revision(revision)
    everything = issue.criteria if issue else ()
    signoff = held.governing_at(moment)
    if withdrawn_at(held, moment):
        return _asks(PurposeKind.RETURN_AFTER_WITHDRAWAL, "R6.2", revision, everything, terms, 0)
    if signoff is None:
        return _first(held, moment, issue, terms, revision, is_held_elsewhere=is_held_elsewhere)
    lost_after = signoff.reckoned_at(moment).lost_after
    if moment >= signoff.ends_at and lost_after:
        runs = lapse_runs(case, lost_after, day)
        asked = _asks(PurposeKind.RETURN_AFTER_LAPSE, "R3.4", revision, everything, terms, runs)
        return replace(asked, after=signoff.ends_at)
    if asks_delta(held, signoff, moment, revision) if is_delta is None else is_delta:
        touched = gap_criteria(case.task, read_up_to(held, moment, best_known(held, moment, revision)), revision)
        return _asks(PurposeKind.DELTA, "R4.4", revision, touched, terms, 1)
    asked = _asks(PurposeKind.RENEWAL, "R3.2", revision, everything, terms, 0)
    return replace(asked, after=signoff.assessment.happened_at)


def _first(
    held: Holding, moment: datetime, issue: Revision | None, terms: Terms, revision: int, *, is_held_elsewhere: bool
) -> Purpose:
    """Return the purpose of a first sign-off: in full, cut by recognition (R11), or converted (R12)."""
    case, criteria = held.case, issue.criteria if issue else ()
    recognised = [fact for fact in case.all_of(Recognition) if fact.happened_at <= moment]
    if recognised:
        runs = min(max(1, recognised[-1].runs_needed), terms.runs)
        return _asks(PurposeKind.INITIAL, "R11", revision, criteria, terms, runs)
    if is_held_elsewhere:
        runs = ceil(terms.runs * case.policy_on(case.clock.day(moment)).conversion_runs)
        own = issue.scope_criteria if issue and issue.scope_criteria else criteria
        return _asks(PurposeKind.CONVERSION, "R12", revision, own, terms, runs)
    return _asks(PurposeKind.INITIAL, "R2.1", revision, criteria, terms, terms.runs)


def _asks(kind: PurposeKind, rule: str, revision: int, criteria: Sequence[int], terms: Terms, runs: int) -> Purpose:
    """Return a purpose that asks `runs`; shifts and range are cut to that number (3.17)."""
    return Purpose(
        kind=kind,
        rule=rule,
        revision=revision,
        criteria=tuple(criteria),
        runs=runs,
        distinct_shifts=min(terms.distinct_shifts, runs),
        ranges=_cut(terms.ranges, runs),
        calculations=terms.calculations,
        prerequisites=terms.needs,
        is_delta=kind is PurposeKind.DELTA,
    )


def _cut(ranges: Mapping[str, int], runs: int) -> dict[str, int]:
    return {name: min(wanted, runs) for name, wanted in ranges.items() if runs}


def _reassessed(held: Holding, moment: datetime, base: Purpose) -> Purpose:
    """R5.1: after a not yet competent, one more run; within 30 days the unmet and all critical criteria, later all."""
    tries = _tries_since_the_last_pass(held, moment)
    if not tries:
        return base
    case, last = held.case, tries[-1]
    criteria = base.criteria
    days = case.policy_on(last.on).partial_reassessment_days
    if case.clock.day(moment) <= days_after(last.on, days):
        issue = case.task.revision(base.revision)
        criteria = tuple(sorted(_unmet(case, base, tries) | (issue.critical_criteria if issue else frozenset())))
    return replace(
        base,
        kind=PurposeKind.REASSESSMENT,
        rule="R5.1",
        criteria=criteria,
        fresh_runs=1,
        fresh_after=order_of(last),
    )


def _tries_since_the_last_pass(held: Holding, moment: datetime) -> list[Assessment]:
    """Return the assessments by a moment that said not yet competent and were followed by no pass."""
    tries: list[Assessment] = []
    for attempt in held.attempts:
        if attempt.assessment.happened_at <= moment and attempt.state is State.NOT_YET_COMPETENT:
            tries.append(attempt.assessment)
        elif attempt.assessment.happened_at <= moment and attempt.state is State.SIGNED:
            tries.clear()
    return tries


def _unmet(case: Case, base: Purpose, tries: Sequence[Assessment]) -> frozenset[int]:
    """Return the criteria that no try has shown yet: not met, not seen, not judged, or touched by a revision since."""
    unmet = set(base.criteria)
    following = [*(each.revision for each in tries[1:]), base.revision]
    for each, next_revision in zip(tries, following, strict=True):
        shown = {number for number, judgement in each.judged.items() if judgement is Judgement.MET}
        unmet = (unmet - shown) | (each.judged.keys() - shown)
        unmet.update(gap_criteria(case.task, each.revision, next_revision))
    return frozenset(unmet.intersection(base.criteria))


def withdrawn_at(held: Holding, moment: datetime) -> Withdrawal | None:
    """Return the withdrawal that holds at a moment, if one does (R6.2)."""
    for fact in reversed(held.case.all_of(Withdrawal)):
        returned = any(
            signoff.gain.start <= moment for signoff in held.signoffs if order_of(signoff.assessment) > order_of(fact)
        )
        if fact.happened_at <= moment and not returned:
            return fact
    return None


def best_known(held: Holding, moment: datetime, up_to: int) -> int:
    """Return the highest revision below a number that a holder was trained on by a moment, or the first known."""
    known = [number for number, gain in known_revisions(held) if gain.start <= moment]
    return max((number for number in known if number < up_to), default=min(known))


def read_up_to(held: Holding, moment: datetime, known: int) -> int:
    """Return the revision to which minor ones, acknowledged one after another, carry a known one (R4.2, R4.5)."""
    read = [fact.revision for fact in held.case.all_of(Acknowledgement) if fact.happened_at <= moment]
    newest_read = max(read, default=known)
    for revision in sorted(held.case.task.revisions, key=lambda each: each.number):
        if known < revision.number <= newest_read:
            if is_major(held.case, revision, held.case.clock.day(moment)):
                break
            known = revision.number
    return known


def asks_delta(held: Holding, signoff: SignOff, moment: datetime, revision: int) -> bool:
    """Whether a major revision is open before the due window; in the window a renewal does both (R4.4)."""
    case, day = held.case, held.case.clock.day(moment)
    known = [number for number, gain in known_revisions(held) if gain.start <= moment]
    if not majors_between(case, max(known), revision, day):
        return False
    last = signoff.reckoned_at(moment).last_valid_on
    return last is None or day < days_after(last, -case.policy_on(day).due_window_days)
