"""What a decision on a unit rests on, and what has become of it since (R8.1, R8.2, R8.8, 3.17). Pure."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date, datetime

from competencies.standing.calendar import INSTANT, add_months, clock_of, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.credits import Unit
from competencies.standing.facts import Annulment, Assessment, Reverification, Review, UnitDecision, Withdrawal
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import Holding, SignOff, State
from competencies.standing.timeline import Reason, reason
from competencies.standing.unit_records import UnitRecord

CALCULATION = "calc:"
Evidence = Mapping[int, Mapping[str, tuple[int, ...]]]


def outcomes_met(unit: Unit, rule: PersonRule, decided_on: date, *, at: datetime | None = None) -> Mapping[int, bool]:
    """Return for each outcome whether every task and calculation it lists stands for a decision (R8.1)."""
    return {number: not missing for number, missing in outcome_gaps(unit, rule, decided_on, at=at).items()}


def outcome_gaps(
    unit: Unit, rule: PersonRule, decided_on: date, *, at: datetime | None = None
) -> Mapping[int, tuple[str, ...]]:
    """Return for each outcome the tasks and calculations that are missing for a decision (R8.1, R8.2)."""
    found = outcome_evidence(unit, rule, decided_on, at=at)
    return {number: tuple(code for code, seqs in items.items() if not seqs) for number, items in found.items()}


def outcome_evidence(unit: Unit, rule: PersonRule, decided_on: date, *, at: datetime | None = None) -> Evidence:
    """Return by outcome and item the ledger places that speak for it on a decision date; none where it is missing.

    Of a task it is the newest sign-off that was effective in the 24 months before and was neither annulled nor
    withdrawn by `at` (None: the end of that day), with its signatures; of a calculation the newest passed check in
    the same months.
    """
    until = end_of(rule, decided_on) if at is None else min(at, end_of(rule, decided_on))
    return {
        number: {code: _evidence(code, rule, decided_on, until) for code in listed}
        for number, listed in unit.outcomes.items()
    }


def moment_of(rule: PersonRule, decision: UnitDecision) -> datetime:
    """Return the moment of a decision; one that was written down on a later day is taken at the end of its own."""
    return min(decision.happened_at, end_of(rule, decision.on))


def end_of(rule: PersonRule, day: date) -> datetime:
    """Return the last instant of a day in the plant's zone."""
    return clock_of(rule.frame.timezone).midnight(days_after(day, 1)) - INSTANT


def evidence_of(unit: Unit, rule: PersonRule, decision: UnitDecision) -> tuple[int, ...]:
    """Return the ledger places a decision rests on: those it names, else those that stood for it. None for elsewhere.

    Credit from elsewhere rests on nothing here (R8.7).
    """
    if decision.elsewhere or decision.evidence:
        return () if decision.elsewhere else decision.evidence
    found = outcome_evidence(unit, rule, decision.on, at=moment_of(rule, decision))
    return tuple(sorted({seq for items in found.values() for seqs in items.values() for seq in seqs}))


def sign_offs_behind(unit: Unit, rule: PersonRule, decision: UnitDecision) -> tuple[Assessment, ...]:
    """Return the assessments of the signed sign-offs that a decision rests on, in order (R8.8)."""
    places = set(evidence_of(unit, rule, decision))
    attempts = [attempt for held in _holdings(unit, rule) for attempt in held.attempts]
    found = [each.assessment for each in attempts if each.state is State.SIGNED and each.assessment.seq in places]
    return tuple(sorted(found, key=order_of))


def is_under_review(case: Case, assessment: int, moment: datetime) -> bool:
    """Whether the sign-off of an assessment is under review at a moment, and not looked at again since (R6.4)."""
    reviews = [fact for fact in case.pointing_at(Review, assessment) if fact.happened_at <= moment]
    looked = [fact for fact in case.pointing_at(Reverification, assessment) if fact.happened_at <= moment]
    return bool(reviews) and not any(order_of(fact) > order_of(reviews[-1]) for fact in looked)


def flags(record: UnitRecord, unit: Unit, rule: PersonRule, moment: datetime) -> tuple[Reason, ...]:
    """Return what the moderator is to look at: what has become of the sign-offs and checks behind a decision.

    The decision stays, whatever becomes of them (3.17); what a moderator has looked at since is not told again.
    """
    looked = order_of(record.moderation)[0] if record.moderation else None
    found = [each for each in _changes(record.decision, unit, rule, moment) if each[0] <= moment]
    fresh = [why for at, why in sorted(found) if looked is None or at > looked]
    return tuple(dict.fromkeys(fresh))


def _changes(
    decision: UnitDecision, unit: Unit, rule: PersonRule, moment: datetime
) -> Iterator[tuple[datetime, Reason]]:
    """Yield when and how each thing behind a decision changed: withdrawn, annulled, under review, corrected."""
    places = set(evidence_of(unit, rule, decision))
    for held in _holdings(unit, rule):
        yield from _changes_of(held, places, moment_of(rule, decision), moment)
    for seq, at in rule.struck.items():
        if seq in places:
            yield at, reason("R8.8", "unit_corrected", entry=seq)


def _changes_of(
    held: Holding, places: Collection[int], decided_at: datetime, moment: datetime
) -> Iterator[tuple[datetime, Reason]]:
    case, task = held.case, held.case.task.code
    named = {each.assessment.seq: each.assessment for each in held.attempts if each.assessment.seq in places}
    for withdrawal in case.all_of(Withdrawal):
        # Also one that was written down after the decision and happened before it.
        if any(order_of(withdrawal) > order_of(assessment) for assessment in named.values()):
            yield withdrawal.happened_at, reason("R8.8", "unit_withdrawn", task=task, on=withdrawal.on)
    for annulment in case.all_of(Annulment):
        if annulment.of in named:
            yield annulment.happened_at, reason("R8.8", "unit_annulled", task=task, on=annulment.on)
    for review in case.all_of(Review):
        if review.of in named and review.happened_at > decided_at and is_under_review(case, review.of, moment):
            yield review.happened_at, reason("R8.8", "unit_under_review", task=task, on=review.on)


def _holdings(unit: Unit, rule: PersonRule) -> Iterator[Holding]:
    listed = {code for codes in unit.outcomes.values() for code in codes if not code.startswith(CALCULATION)}
    for code in sorted(listed):
        for scope in rule.scopes_of(code):
            yield rule.holding(code, scope)


def _evidence(code: str, rule: PersonRule, decided_on: date, until: datetime) -> tuple[int, ...]:
    since = add_months(decided_on, -rule.frame.policy_on(decided_on).unit_evidence_months)
    if code.startswith(CALCULATION):
        checks = rule.checks.get(code.removeprefix(CALCULATION), ())
        passed = [check for check in checks if check.passed and since <= check.on <= decided_on]
        return (passed[-1].seq,) if passed else ()
    effective = [
        signoff for scope in rule.scopes_of(code) for signoff in _effective(rule.holding(code, scope), since, until)
    ]
    return max(effective, key=lambda each: order_of(each.assessment)).gain.seqs if effective else ()


def _effective(held: Holding, since: date, until: datetime) -> Iterable[SignOff]:
    """Yield the sign-offs effective at some time from a day to a moment that no withdrawal by then took back."""
    opens = clock_of(held.case.frame.timezone).midnight(since)
    taken_back = [fact for fact in held.case.all_of(Withdrawal) if fact.happened_at <= until]
    for signoff in held.signoffs:
        starts = max(signoff.gain.start, opens)
        in_time = starts <= until and starts < signoff.ends_at
        if in_time and not any(order_of(fact) > order_of(signoff.assessment) for fact in taken_back):
            yield signoff
