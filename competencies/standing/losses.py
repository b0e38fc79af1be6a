"""Losses by decision, which act from their minute (R3.7, R5.3, R6.1, R6.2, R6.4), and what ends them. Pure."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from competencies.standing.calendar import FOR_EVER, days_after
from competencies.standing.case import order_of
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import (
    Assessment,
    CheckOwed,
    Lifting,
    Reverification,
    Review,
    Run,
    Suspension,
    Withdrawal,
)
from competencies.standing.runs import until_run
from competencies.standing.signoffs import Holding, SignOff, State, earliest
from competencies.standing.spans import Gain
from competencies.standing.timeline import Reason, reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import Standing


def loss_effects(held: Holding, counted: Iterable[Run]) -> Iterator[Effect]:
    """Yield the losses by decision of a case, each until the gain that ends it."""
    yield from suspension_effects(held)
    yield from withdrawal_effects(held)
    yield from check_owed_effects(held)
    yield from not_yet_competent_effects(held, list(counted))
    yield from annulment_effects(held)
    yield from review_effects(held)


def suspension_effects(held: Holding) -> Iterator[Effect]:
    """R6.1: stops from its minute until it is lifted; nothing else changes."""
    case = held.case
    for fact in case.all_of(Suspension):
        lifted = [each for each in case.pointing_at(Lifting, fact.seq) if order_of(each) > order_of(fact)]
        yield _loss(
            fact.happened_at,
            earliest(case.gain(each) for each in lifted),
            standing=Standing.SUSPENDED,
            why=reason("R6.1", "suspended"),
            remedy=Remedy(Need.LIFTING),
            rests_on=(fact.seq,),
        )


def withdrawal_effects(held: Holding) -> Iterator[Effect]:
    """R6.2: stops from its minute until a full assessment made after it is signed; no new runs are asked."""
    for fact in held.case.all_of(Withdrawal):
        returns = [each.gain for each in held.signoffs if order_of(each.assessment) > order_of(fact)]
        yield _loss(
            fact.happened_at,
            earliest(returns),
            standing=Standing.WITHDRAWN,
            why=reason("R6.2", "withdrawn"),
            remedy=Remedy(Need.RETURN),
            rests_on=(fact.seq,),
        )


def check_owed_effects(held: Holding) -> Iterator[Effect]:
    """R3.7: a critical task is suspended until the check is passed, another is flagged (3.17)."""
    for fact in held.case.all_of(CheckOwed):
        passes = [each.gain for each in held.attempts if each.gain and order_of(each.assessment) > order_of(fact)]
        yield _loss(
            fact.happened_at,
            earliest(passes),
            standing=Standing.SUSPENDED if held.case.is_critical else None,
            why=reason("R3.7", "check_owed", cause=fact.cause),
            remedy=Remedy(Need.FULL),
            rests_on=(fact.seq,),
        )


def not_yet_competent_effects(held: Holding, counted: list[Run]) -> Iterator[Effect]:
    """R5.3: a holder's not yet competent stops a critical task at once, another after 14 days or its last valid day.

    For a person who does not hold the task it is a remark until the next pass (R5.1).
    """
    for attempt in held.attempts:
        if attempt.state is not State.NOT_YET_COMPETENT:
            continue
        assessment = attempt.assessment
        passed = earliest(each.gain for each in held.passes_after(assessment))
        signoff = _held_at(held, assessment)
        if signoff is None:
            why = reason("R5.1", "not_yet_competent", on=assessment.on)
            yield _loss(assessment.happened_at, passed, standing=None, why=why, rests_on=(assessment.seq,))
            continue
        yield from _of_holder(held, signoff, assessment, passed, counted)


def _of_holder(
    held: Holding, signoff: SignOff, assessment: Assessment, passed: Gain | None, counted: list[Run]
) -> Iterator[Effect]:
    at, stops_at = assessment.happened_at, _stops_at(held, signoff, assessment)
    end = passed.end_of(at) if passed else FOR_EVER
    why = reason("R5.3", "not_yet_competent", on=assessment.on)
    rests_on = (assessment.seq,)
    yield Effect(start=at, end=min(stops_at, end), weight=Weight.REMARK, reason=why, rests_on=rests_on)
    need = Need.DELTA if assessment.delta else Need.FULL
    since = [run for run in counted if order_of(run) > order_of(assessment)]
    for start, until, runs in until_run(held.case, max(at, stops_at), end, since):
        yield Effect(
            start=start,
            end=until,
            weight=Weight.STOP,
            standing=Standing.SUSPENDED,
            reason=why,
            helped_at=passed.moment if passed else None,
            remedy=Remedy(need, runs),
            rests_on=rests_on,
        )


def _held_at(held: Holding, assessment: Assessment) -> SignOff | None:
    """Return the sign-off that the person held when assessed, if one held and was not withdrawn."""
    signoff = held.governing_at(assessment.happened_at)
    if signoff is None or not signoff.holds_at(assessment.happened_at):
        return None
    withdrawn = any(
        order_of(signoff.assessment) < order_of(fact) < order_of(assessment) for fact in held.case.all_of(Withdrawal)
    )
    return None if withdrawn else signoff


def _stops_at(held: Holding, signoff: SignOff, assessment: Assessment) -> datetime:
    """Return when the standing stops: at once if critical or in grace, else as the run-on of R5.3 says."""
    case, last = held.case, signoff.reckoned_at(assessment.happened_at).last_valid_on
    days = case.policy_on(assessment.on).renewal_run_on_days.of(case.task.criticality)
    if days == 0 or (last is not None and assessment.on > last):
        return assessment.happened_at
    run_on = days_after(assessment.on, days)
    return case.clock.midnight(days_after(run_on if last is None else min(run_on, last), 1))


def annulment_effects(held: Holding) -> Iterator[Effect]:
    """R6.4: an annulled sign-off never held; that it was one stays in sight until the next."""
    for attempt in held.attempts:
        if attempt.state is State.ANNULLED:
            start = held.case.clock.midnight(attempt.assessment.on)
            yield _loss(
                start,
                earliest(each.gain for each in held.passes_after(attempt.assessment)),
                standing=None,
                why=reason("R6.4", "annulled", assessed=attempt.assessment.on),
            )


def review_effects(held: Holding) -> Iterator[Effect]:
    """R6.4: a sign-off under review stops at once if critical, otherwise after 14 days, until it is verified again."""
    signed = {attempt.assessment.seq: (attempt.assessment, attempt.gain) for attempt in held.attempts if attempt.gain}
    for fact in held.case.all_of(Review):
        if fact.of in signed:
            yield from _under_review(held, fact, *signed[fact.of])


def _under_review(held: Holding, fact: Review, assessment: Assessment, gain: Gain) -> Iterator[Effect]:
    case = held.case
    at = max(fact.happened_at, gain.start)
    verified = [
        case.gain(each) for each in case.pointing_at(Reverification, fact.of) if order_of(each) > order_of(fact)
    ]
    ended = earliest([*verified, *(each.gain for each in held.passes_after(assessment))])
    end = ended.end_of(at) if ended else FOR_EVER
    days = case.policy_on(fact.on).annulment_review_days.of(case.task.criticality)
    stops_at = case.clock.midnight(days_after(fact.on, days + 1)) if days else at
    why = reason("R6.4", "under_review", assessed=assessment.on)
    yield Effect(start=at, end=min(stops_at, end), weight=Weight.REMARK, reason=why, rests_on=(fact.seq,))
    yield Effect(
        start=max(at, stops_at),
        end=end,
        weight=Weight.STOP,
        standing=Standing.UNDER_REVIEW,
        reason=why,
        helped_at=ended.moment if ended else None,
        remedy=Remedy(Need.REVERIFICATION),
        rests_on=(fact.seq,),
    )


def _loss(
    at: datetime,
    gain: Gain | None,
    *,
    standing: Standing | None,
    why: Reason,
    remedy: Remedy | None = None,
    rests_on: tuple[int, ...] = (),
) -> Effect:
    """Return a loss from its minute until a gain; without a standing it is a remark."""
    return Effect(
        start=at,
        end=gain.end_of(at) if gain else FOR_EVER,
        weight=Weight.STOP if standing else Weight.REMARK,
        standing=standing,
        reason=why,
        helped_at=gain.moment if gain and standing else None,
        remedy=remedy if standing else None,
        rests_on=rests_on,
    )
