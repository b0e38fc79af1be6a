"""Why an entry may not be written: all refusals at once, judged at writing and never again (R1, R2, R5, R7). Pure.

Each function takes the entry as it would be written (its `seq` does not matter) and the rules of the persons in it,
as known before it. Who may be stopped, and by whom, is judged in `stop_refusals`; units in `unit_refusals`.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime

from competencies.standing.appeals import open_appeal
from competencies.standing.calendar import add_months, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.entitlement import (
    AuthorityGrant,
    Refusal,
    barred,
    barred_at_night,
    has_authority,
    in_conflict,
    in_the_future,
    not_entitled,
    own_entry,
    refusal,
    without_reason,
    wrong_place,
    wrong_revision,
)
from competencies.standing.facts import (
    Acknowledgement,
    Assessment,
    AttemptsReviewed,
    Check,
    Correction,
    Fact,
    Recognition,
    Run,
    RunAccepted,
    SecondSignature,
)
from competencies.standing.live import corrected
from competencies.standing.purpose import withdrawn_at
from competencies.standing.readiness import Progress, Purpose
from competencies.standing.revisions import trained_on
from competencies.standing.rule import PersonRule
from competencies.standing.runs import confirmation
from competencies.standing.signoffs import Attempt, Holding, State
from competencies.vocabulary import AuthorityKind, Judgement, Outcome, SecondRole

__all__ = [
    "IN_A_ROW",
    "AuthorityGrant",
    "Refusal",
    "has_authority",
    "refusal",
    "refuse_acceptance",
    "refuse_acknowledgement",
    "refuse_assessment",
    "refuse_check",
    "refuse_correction",
    "refuse_recognition",
    "refuse_run",
    "refuse_second_signature",
    "trailing",
]
ROLE_AUTHORITY = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}
_IN_A_ROW_BY_ONE, IN_A_ROW = 2, 3


def refuse_run(run: Run, *, trainee: PersonRule, supervisor: PersonRule, now: datetime) -> tuple[Refusal, ...]:
    """Return why this run may not be recorded (R1.1, R10).

    A run on a day on which a safety prerequisite is out may be recorded; it does not count, and progress says why.
    """
    return (
        *in_the_future(run, now),
        *wrong_place(run, trainee),
        *wrong_revision(trainee, run, run.revision),
        *own_entry(run, "R1.1"),
        *barred(run, trainee),
        *barred_at_night(run, trainee),
        *not_entitled(run, supervisor, run.revision, "R1.1"),
    )


def refuse_acceptance(
    acceptance: RunAccepted, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why a late confirmation may not be accepted (R1.2). `grants` are the coordinator's."""
    out = [*in_the_future(acceptance, now), *own_entry(acceptance, "R1.2")]
    case = trainee.holding(acceptance.task, acceptance.scope).case
    if not has_authority(grants, {AuthorityKind.COORDINATE}, case.task.area, case.clock.day(acceptance.happened_at)):
        out.append(refusal("R1.2", "no_authority", area=case.task.area))
    run = next((fact for fact in case.all_of(Run) if fact.seq == acceptance.of), None)
    why = confirmation(case, run)[1] if run else None
    if why is None or why.code != "confirmed_late":
        out.append(refusal("R1.2", "not_late"))
    elif case.is_critical:
        out.append(refusal("R1.2", "never_late", hours=dict(why.params)["hours"]))
    return tuple(out)


def refuse_assessment(
    assessment: Assessment,
    *,
    trainee: PersonRule,
    assessor: PersonRule,
    grants: Iterable[AuthorityGrant],
    now: datetime,
) -> tuple[Refusal, ...]:
    """Return why this assessment may not be recorded (R2.1 to R2.6, R5.1, R5.2, R6.2). `grants` are the assessor's."""
    out = [*in_the_future(assessment, now), *wrong_place(assessment, trainee), *own_entry(assessment, "R2.2")]
    out += wrong_revision(trainee, assessment, assessment.revision)
    out += barred(assessment, trainee)
    out += not_entitled(assessment, assessor, assessment.revision, "R2.2")
    task = trainee.frame.tasks[assessment.task]
    if not has_authority(grants, {AuthorityKind.ASSESS}, task.area, assessment.on):
        out.append(refusal("R2.2", "no_authority", area=task.area))
    if in_conflict(trainee, assessor, assessment.on):
        out.append(refusal("R2.2", "conflict"))
    held = trainee.holding(assessment.task, assessment.scope)
    out += _same_assessor(held, assessment)
    appealed = open_appeal(held, assessment)
    if appealed is not None and appealed.assessment.by == assessment.by:
        out.append(refusal("R2.7", "appeal_to_another"))
    out += _not_ready(assessment, trainee)
    return tuple(out)


def refuse_second_signature(
    signature: SecondSignature, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this second signature may not be recorded (R2.4). `grants` are the signing person's."""
    out = [*in_the_future(signature, now)]
    held = trainee.holding(signature.task, signature.scope)
    attempt = next((each for each in held.attempts if each.assessment.seq == signature.of), None)
    if attempt is None or attempt.state is not State.UNSIGNED:
        return (*out, refusal("R2.4", "not_awaiting"))
    case, assessment = held.case, attempt.assessment
    last_day = days_after(assessment.on, case.policy_on(assessment.on).second_signature_days)
    if signature.on > last_day:
        out.append(refusal("R2.4", "too_late", last_day=last_day))
    if signature.on < assessment.on:
        out.append(refusal("R2.4", "before_assessment", assessed=assessment.on))
    if signature.by in {assessment.by, assessment.person}:
        out.append(refusal("R2.4", "same_person"))
    out += _roles(signature, case, attempt, list(grants))
    return tuple(out)


def refuse_acknowledgement(
    acknowledgement: Acknowledgement, *, holder: PersonRule, now: datetime
) -> tuple[Refusal, ...]:
    """Return why this acknowledgement may not be recorded (R4.2)."""
    out = [
        *in_the_future(acknowledgement, now),
        *wrong_revision(holder, acknowledgement, acknowledgement.revision, is_current=False),
    ]
    if acknowledgement.by not in {None, acknowledgement.person}:
        out.append(refusal("R4.2", "not_the_holder"))
    case = holder.holding(acknowledgement.task, acknowledgement.scope).case
    if any(fact.revision == acknowledgement.revision for fact in case.all_of(Acknowledgement)):
        out.append(refusal("R4.2", "already_acknowledged", revision=acknowledgement.revision))
    return tuple(out)


def refuse_correction(
    correction: Correction,
    *,
    facts: Iterable[Fact],
    grants: Iterable[AuthorityGrant],
    area: str,
    now: datetime,
    reason: str,
) -> tuple[Refusal, ...]:
    """Return why this correction may not be recorded (R7): only a coordinator for the entry's `area` corrects.

    `facts` are the person's known facts, corrections too; `grants` are those of who corrects.
    """
    known = list(facts)
    out = [*in_the_future(correction, now), *without_reason(reason, "R7")]
    if not has_authority(grants, {AuthorityKind.COORDINATE}, area, correction.on):
        out.append(refusal("R7", "no_authority", area=area))
    entry = next((fact for fact in known if fact.seq == correction.of), None)
    if entry is None:
        return (*out, refusal("R7", "unknown_entry"))
    if correction.of in corrected(known):
        out.append(refusal("R7", "already_corrected"))
    signatures = Assessment | SecondSignature
    if correction.by is not None and isinstance(entry, signatures) and correction.by in {entry.by, entry.person}:
        out.append(refusal("R7", "own_signoff"))
    return tuple(out)


def refuse_recognition(
    recognition: Recognition, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this recognition may not be recorded (R11)."""
    out = [*in_the_future(recognition, now), *wrong_place(recognition, trainee), *own_entry(recognition, "R11")]
    out += barred(recognition, trainee)
    task, policy = trainee.frame.tasks[recognition.task], trainee.frame.policy_on(recognition.on)
    if not task.recognisable:
        out.append(refusal("R11", "not_recognisable"))
    if add_months(recognition.evidence_on, policy.recognition_evidence_months) < recognition.on:
        out.append(refusal("R11", "too_old", months=policy.recognition_evidence_months))
    if recognition.evidence_on > recognition.on:
        out.append(refusal("R2.6", "future"))
    if recognition.evidence_ends_on is not None and recognition.evidence_ends_on < recognition.on:
        out.append(refusal("R11", "certificate_ended", ended=recognition.evidence_ends_on))
    if recognition.runs_needed < 1:
        out.append(refusal("R11", "too_few_runs", needed=1))
    if not has_authority(grants, {AuthorityKind.ASSESS}, task.area, recognition.on):
        out.append(refusal("R11", "no_authority", area=task.area))
    return tuple(out)


def refuse_check(check: Check, *, now: datetime) -> tuple[Refusal, ...]:
    """Return why this calculation check may not be recorded: a check is opened by somebody else."""
    return (*in_the_future(check, now), *own_entry(check, "R2.1"))


def _same_assessor(held: Holding, assessment: Assessment) -> Iterator[Refusal]:
    """R5.2 and R6.2: who may not judge this time."""
    before = [each for each in held.attempts if order_of(each.assessment) < order_of(assessment)]
    failed = trailing(before)
    if len(failed) >= _IN_A_ROW_BY_ONE and all(
        each.assessment.by == assessment.by for each in failed[-_IN_A_ROW_BY_ONE:]
    ):
        yield refusal("R5.2", "same_assessor")
    reviews = held.case.all_of(AttemptsReviewed)
    if len(failed) >= IN_A_ROW and not any(order_of(fact) > order_of(failed[-1].assessment) for fact in reviews):
        yield refusal("R5.2", "review_first", attempts=len(failed))
    withdrawal = withdrawn_at(held, assessment.happened_at)
    if withdrawal is not None and withdrawal.by == assessment.by:
        yield refusal("R6.2", "withdrew_it")


def trailing(attempts: Sequence[Attempt]) -> list[Attempt]:
    """Return the not yet competent since the last pass, in order."""
    found: list[Attempt] = []
    for attempt in attempts:
        if attempt.state is State.NOT_YET_COMPETENT:
            found.append(attempt)
        elif attempt.state is State.SIGNED:
            found = []
    return found


def _not_ready(assessment: Assessment, trainee: PersonRule) -> Iterator[Refusal]:
    """R2.1 to R2.3: what is missing before this assessment, or in its judgement."""
    place = (assessment.task, assessment.scope, assessment.happened_at)
    purpose = trainee.purpose_at(*place, revision=assessment.revision, is_delta=assessment.delta)
    progress = trainee.progress_toward(purpose, *place)
    if assessment.delta:
        yield from _no_delta(assessment, trainee)
    for each in progress.reasons:
        yield Refusal(each.rule, each.code, each.params)
    yield from _confirmed_too_many(assessment, trainee, progress)
    if assessment.outcome is Outcome.COMPETENT:
        yield from _judgement(assessment, purpose)


def _no_delta(assessment: Assessment, trainee: PersonRule) -> Iterator[Refusal]:
    """R4.4: a delta is for somebody whose sign-off holds, and who does not know the revision yet."""
    held, moment = trainee.holding(assessment.task, assessment.scope), assessment.happened_at
    signoff = held.governing_at(moment)
    if signoff is None or not signoff.holds_at(moment) or withdrawn_at(held, moment):
        yield refusal("R4.4", "not_held")
    elif (shown := trained_on(held, assessment.revision)) and shown.start <= moment:
        yield refusal("R4.4", "nothing_changed", revision=assessment.revision)


def _confirmed_too_many(assessment: Assessment, trainee: PersonRule, progress: Progress) -> Iterator[Refusal]:
    """R2.2: on a critical task the assessor confirmed at most half of the counted runs."""
    is_critical = trainee.frame.tasks[assessment.task].criticality.is_critical
    if not is_critical or progress.runs_needed == 0 or assessment.by is None:
        return
    confirmed, counted = progress.confirmed_by.get(assessment.by, 0), len(progress.counted)
    if confirmed > trainee.frame.policy_on(assessment.on).assessor_share_of_runs * counted:
        yield refusal("R2.2", "confirmed_too_many", confirmed=confirmed, counted=counted)


def _judgement(assessment: Assessment, purpose: Purpose) -> Iterator[Refusal]:
    """R2.3: competent needs every criterion asked to be seen and met; one that is not asked may stay unseen."""
    for number in purpose.criteria:
        if number not in assessment.judged:
            yield refusal("R2.3", "criterion_not_judged", criterion=number)
    for number, judged in sorted(assessment.judged.items()):
        if judged is Judgement.NOT_MET:
            yield refusal("R2.3", "criterion_not_met", criterion=number)
        elif judged is Judgement.NOT_SEEN and number in purpose.criteria:
            yield refusal("R2.3", "criterion_not_seen", criterion=number)


def _roles(
    signature: SecondSignature, case: Case, attempt: Attempt, grants: Sequence[AuthorityGrant]
) -> Iterator[Refusal]:
    """R2.4: the roles named are held on the day, and at least one of them is still wanted."""
    assessment = attempt.assessment
    for role in sorted(signature.roles):
        if not has_authority(grants, {ROLE_AUTHORITY[role]}, case.task.area, signature.on):
            yield refusal("R2.4", "role_missing", role=role.value)
    given = [
        fact.roles
        for fact in case.pointing_at(SecondSignature, assessment.seq)
        if fact.by not in {assessment.by, assessment.person}
    ]
    wanted = case.task.criticality.second_roles.difference(*given)
    if not wanted & signature.roles:
        for role in sorted(wanted):
            yield refusal("R2.4", "role_missing", role=role.value)
