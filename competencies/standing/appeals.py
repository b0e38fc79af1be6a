"""An appeal against an assessment: a remark until the next decision, which another assessor makes (R2.7). Pure."""

from collections.abc import Iterator

from competencies.standing.calendar import FOR_EVER
from competencies.standing.case import order_of
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import Appeal, Assessment
from competencies.standing.signoffs import Attempt, Holding
from competencies.standing.timeline import reason


def appeal_remarks(held: Holding) -> Iterator[Effect]:
    """R2.7: an appeal stops nothing and restores nothing; it stands as a remark until the next assessment."""
    for attempt in held.attempts:
        for appeal in held.case.pointing_at(Appeal, attempt.assessment.seq)[:1]:
            following = next_attempt(held, attempt.assessment)
            yield Effect(
                start=appeal.happened_at,
                end=max(appeal.happened_at, following.assessment.happened_at) if following else FOR_EVER,
                weight=Weight.REMARK,
                reason=reason("R2.7", "appealed", on=attempt.assessment.on),
                rests_on=(appeal.seq,),
            )


def next_attempt(held: Holding, assessment: Assessment) -> Attempt | None:
    """Return the attempt that followed an assessment."""
    later = (each for each in held.attempts if order_of(each.assessment) > order_of(assessment))
    return next(later, None)


def open_appeal(held: Holding, assessment: Assessment) -> Attempt | None:
    """Return the attempt under appeal that `assessment` would decide: the newest before it, if it was appealed."""
    before = [each for each in held.attempts if order_of(each.assessment) < order_of(assessment)]
    newest = before[-1] if before else None
    return newest if newest and held.case.pointing_at(Appeal, newest.assessment.seq) else None
