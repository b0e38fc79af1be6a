"""Signing an assessment: only of what was on the screen."""

from datetime import datetime

from competencies.ledger.writer import Appended, appended_under, writing
from competencies.models import Person
from competencies.operations.decisions import Verdict, When, assess
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, OnTask
from competencies.queries.assessments import AssessmentSheet, assessment_sheet
from competencies.queries.facts import grants_of, rules_of
from competencies.standing.facts import Assessment
from competencies.standing.refusals import Refusal, refuse_assessment
from competencies.vocabulary import Judgement, Outcome


class ShownChangedError(Exception):
    """What the signature would cover is no longer what was shown; nothing was written."""


@writing()
def assess_as_shown(*, sheet: AssessmentSheet, assessor: Signer, verdict: Verdict, when: When, token: str) -> Appended:
    """Record an assessment if its revision, criteria and evidence are still those of `verdict.shown`.

    Raises ShownChangedError, and RefusedError with every reason (R2, R5).
    """
    if earlier := appended_under(token):
        return earlier
    current = assessment_sheet(
        sheet.trainee, sheet.task, sheet.scope, moment=when.happened_at, on_coming=sheet.is_on_coming
    )
    if current.digest() != verdict.shown:
        raise ShownChangedError(current.digest())
    return assess(
        on_task=OnTask(person=sheet.trainee, task=sheet.task, scope=sheet.scope),
        assessor=assessor,
        verdict=verdict,
        when=when,
        token=token,
    )


def refusals_beforehand(*, sheet: AssessmentSheet, assessor: Person, now: datetime) -> tuple[Refusal, ...]:
    """Return what would be refused even if all went well, so that nobody judges in vain."""
    hoped = Assessment(
        seq=UNWRITTEN,
        person=sheet.trainee.pk,
        happened_at=sheet.moment,
        recorded_at=now,
        on=sheet.on,
        task=sheet.task.code,
        scope=sheet.scope,
        by=assessor.pk,
        revision=sheet.revision.number,
        outcome=Outcome.COMPETENT,
        judged={criterion.number: Judgement.MET for criterion in sheet.criteria},
        delta=sheet.is_delta,
    )
    rules = rules_of([sheet.trainee, assessor])
    grants = grants_of([assessor.pk])[assessor.pk]
    return refuse_assessment(
        hoped, trainee=rules[sheet.trainee.pk], assessor=rules[assessor.pk], grants=grants, now=now
    )
