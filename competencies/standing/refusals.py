"""Why an entry may not be written: all refusals at once, judged at writing and never again (R1, R2, R5, R6, R7). Pure.

Each function takes the entry as it would be written (its `seq` does not matter) and the rules of the persons in it,
as known before it.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.standing.calendar import INSTANT, add_months, clock_of, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.cover import is_night
from competencies.standing.facts import (
    Acknowledgement,
    Assessment,
    AttemptsReviewed,
    Check,
    Correction,
    Fact,
    Lifting,
    Recognition,
    Run,
    RunAccepted,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.live import corrected
from competencies.standing.purpose import withdrawn_at
from competencies.standing.readiness import Progress, Purpose
from competencies.standing.revisions import initial_trainer_spans, known_revisions
from competencies.standing.rule import PersonRule
from competencies.standing.runs import confirmation
from competencies.standing.scopes import can_be_held
from competencies.standing.signoffs import Attempt, Holding, State
from competencies.vocabulary import AuthorityKind, Judgement, Outcome, SecondRole, Standing

ROLE_AUTHORITY = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}
_IN_A_ROW_BY_ONE, _IN_A_ROW = 2, 3
_MAY_STOP = frozenset(
    {
        AuthorityKind.SUPERVISE,
        AuthorityKind.COORDINATE,
        AuthorityKind.ASSESS,
        AuthorityKind.SIGN_FOOD,
        AuthorityKind.SIGN_SAFETY,
    }
)


@dataclass(frozen=True, slots=True, order=True)
class Refusal:
    """One reason why an entry may not be written: the rule's number, a short code, what the sentence needs.

    `params` are (name, value) pairs, values as text, sorted by name.
    """

    rule: str
    code: str
    params: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthorityGrant:
    """An authority of one person from a day to a day (both included; None: open), in an area (None: everywhere)."""

    kind: AuthorityKind
    from_on: date
    until_on: date | None = None
    area: str | None = None
    seq: int = 0

    def serves(self, area: str, on: date) -> bool:
        """Whether the authority holds in an area on a day."""
        in_time = self.from_on <= on and (self.until_on is None or on <= self.until_on)
        return in_time and self.area in {None, area}


def has_authority(grants: Iterable[AuthorityGrant], kinds: Iterable[AuthorityKind], area: str, on: date) -> bool:
    """Whether one of the grants gives one of the kinds of authority in an area on a day."""
    wanted = frozenset(kinds)
    return any(grant.kind in wanted and grant.serves(area, on) for grant in grants)


def refuse_run(run: Run, *, trainee: PersonRule, supervisor: PersonRule, now: datetime) -> tuple[Refusal, ...]:
    """Return why this run may not be recorded (R1.1, R10).

    A run on a day on which a safety prerequisite is out may be recorded; it does not count, and progress says why.
    """
    return (
        *_future(run, now),
        *_place(run, trainee),
        *_issue(trainee, run, run.revision),
        *_own(run, "R1.1"),
        *_barred(run, trainee),
        *_night(run, trainee),
        *_not_entitled(run, supervisor, run.revision, "R1.1"),
    )


def refuse_acceptance(
    acceptance: RunAccepted, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why a late confirmation may not be accepted (R1.2). `grants` are the coordinator's."""
    out = [*_future(acceptance, now), *_own(acceptance, "R1.2")]
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
    conflict: bool = False,
) -> tuple[Refusal, ...]:
    """Return why this assessment may not be recorded (R2.1 to R2.6, R5.1, R5.2, R6.2). `grants` are the assessor's."""
    out = [*_future(assessment, now), *_place(assessment, trainee), *_own(assessment, "R2.2")]
    out += _issue(trainee, assessment, assessment.revision)
    out += _barred(assessment, trainee)
    out += _not_entitled(assessment, assessor, assessment.revision, "R2.2")
    task = trainee.frame.tasks[assessment.task]
    if not has_authority(grants, {AuthorityKind.ASSESS}, task.area, assessment.on):
        out.append(refusal("R2.2", "no_authority", area=task.area))
    if conflict:
        out.append(refusal("R2.2", "conflict"))
    held = trainee.holding(assessment.task, assessment.scope)
    out += _same_assessor(held, assessment)
    out += _not_ready(assessment, trainee)
    return tuple(out)


def refuse_second_signature(
    signature: SecondSignature, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this second signature may not be recorded (R2.4). `grants` are the signing person's."""
    out = [*_future(signature, now)]
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
        *_future(acknowledgement, now),
        *_issue(holder, acknowledgement, acknowledgement.revision, is_current=False),
    ]
    if acknowledgement.by not in {None, acknowledgement.person}:
        out.append(refusal("R4.2", "not_the_holder"))
    case = holder.holding(acknowledgement.task, acknowledgement.scope).case
    if any(fact.revision == acknowledgement.revision for fact in case.all_of(Acknowledgement)):
        out.append(refusal("R4.2", "already_acknowledged", revision=acknowledgement.revision))
    return tuple(out)


def refuse_suspension(
    suspension: Suspension, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be recorded (R6.1)."""
    return tuple(_stop(suspension, "R6.1", holder, grants, now, reason))


def refuse_withdrawal(
    withdrawal: Withdrawal, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this withdrawal may not be recorded (R6.2)."""
    out = list(_stop(withdrawal, "R6.2", holder, grants, now, reason))
    if withdrawn_at(holder.holding(withdrawal.task, withdrawal.scope), withdrawal.happened_at):
        out.append(refusal("R6.2", "already_withdrawn"))
    return tuple(out)


def refuse_lifting(
    lifting: Lifting, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be lifted (R6.1)."""
    out = [*_future(lifting, now), *_own(lifting, "R6.1"), *_stopper(lifting, "R6.1", holder, grants)]
    case = holder.holding(lifting.task, lifting.scope).case
    suspended = next((fact for fact in case.all_of(Suspension) if fact.seq == lifting.of), None)
    if suspended is None or case.pointing_at(Lifting, lifting.of):
        out.append(refusal("R6.1", "not_suspended"))
    elif lifting.happened_at < suspended.happened_at:
        out.append(refusal("R6.1", "before_suspension"))
    return tuple(out)


def refuse_correction(
    correction: Correction, *, facts: Iterable[Fact], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this correction may not be recorded (R7). `facts` are the person's known facts, corrections too."""
    known = list(facts)
    out = [*_future(correction, now), *_no_reason(reason, "R7")]
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
    out = [*_future(recognition, now), *_place(recognition, trainee), *_own(recognition, "R11")]
    out += _barred(recognition, trainee)
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
    return (*_future(check, now), *_own(check, "R2.1"))


def refusal(rule: str, code: str, **params: object) -> Refusal:
    """Return a refusal with its parameters as text, in order of their names."""
    return Refusal(rule, code, tuple((name, str(params[name])) for name in sorted(params)))


def _future(fact: Fact, now: datetime) -> Iterator[Refusal]:
    if fact.happened_at > now:
        yield refusal("R2.6", "future")


def _own(fact: Fact, rule: str) -> Iterator[Refusal]:
    if fact.by == fact.person:
        yield refusal(rule, "own")


def _no_reason(text: str, rule: str) -> Iterator[Refusal]:
    if not text.strip():
        yield refusal(rule, "no_reason")


def _place(fact: Fact, trainee: PersonRule) -> Iterator[Refusal]:
    if not can_be_held(trainee.frame.tasks[fact.task], fact.scope):
        yield refusal("R12", "wrong_scope", scope=fact.scope)


def _issue(rule: PersonRule, fact: Fact, number: int, *, is_current: bool = True) -> Iterator[Refusal]:
    """R4.1: the revision exists, was approved by then, and is in force or coming."""
    task = rule.frame.tasks[fact.task]
    issue, current = task.revision(number), task.revision_on(fact.on)
    if not task.revisions:
        return
    if issue is None or issue.approved_on > fact.on:
        yield refusal("R4.1", "unknown_revision", revision=number)
    elif is_current and current is not None and number < current.number:
        yield refusal("R4.1", "old_revision", revision=number, current=current.number)


def _barred(fact: Fact, trainee: PersonRule) -> Iterator[Refusal]:
    """R10 and R9.7: the trainee may do the task on that date, and works here."""
    employment = trainee.employment
    if trainee.is_barred(fact.task, fact.on) and employment:
        yield refusal("R10.1", "age", until=employment.restricted_until)
    if employment and employment.last_day and employment.last_day < fact.on:
        yield refusal("R9.7", "left", last_day=employment.last_day)


def _night(run: Run, trainee: PersonRule) -> Iterator[Refusal]:
    """R10.3: no nights for a young worker."""
    employment, shift = trainee.employment, trainee.frame.shifts.get(run.shift)
    free_on = employment.restricted_until if employment else None
    if shift is not None and is_night(shift) and free_on is not None and run.on < free_on:
        yield refusal("R10.3", "night", until=free_on)


def _not_entitled(fact: Fact, person: PersonRule, revision: int, rule: str) -> Iterator[Refusal]:
    """R1.1 and R2.2: the supervising or assessing person is in force, not in grace, and knows the revision."""
    clock = clock_of(person.frame.timezone)
    last_instant = clock.midnight(days_after(fact.on, 1)) - INSTANT
    moment = min(fact.happened_at, last_instant)
    standing = person.timeline(fact.task, fact.scope).at(moment).standing
    employment = person.employment
    if standing is Standing.IN_GRACE:
        yield refusal(rule, "in_grace")
    elif not standing.is_in_force:
        yield refusal(rule, "not_in_force", standing=standing.value)
    elif not person.knows_revision(fact.task, fact.scope, revision, moment):
        yield refusal("R4.4", "delta_missing", revision=revision)
    if employment and employment.last_day and employment.last_day < fact.on:
        yield refusal("R9.7", "person_left", last_day=employment.last_day)


def _same_assessor(held: Holding, assessment: Assessment) -> Iterator[Refusal]:
    """R5.2 and R6.2: who may not judge this time."""
    before = [each for each in held.attempts if order_of(each.assessment) < order_of(assessment)]
    failed = _trailing(before)
    if len(failed) >= _IN_A_ROW_BY_ONE and all(
        each.assessment.by == assessment.by for each in failed[-_IN_A_ROW_BY_ONE:]
    ):
        yield refusal("R5.2", "same_assessor")
    reviews = held.case.all_of(AttemptsReviewed)
    if len(failed) >= _IN_A_ROW and not any(order_of(fact) > order_of(failed[-1].assessment) for fact in reviews):
        yield refusal("R5.2", "review_first", attempts=len(failed))
    withdrawal = withdrawn_at(held, assessment.happened_at)
    if withdrawal is not None and withdrawal.by == assessment.by:
        yield refusal("R6.2", "withdrew_it")


def _trailing(attempts: Sequence[Attempt]) -> list[Attempt]:
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
    elif any(number >= assessment.revision for number, gain in known_revisions(held) if gain.start <= moment):
        yield refusal("R4.4", "nothing_changed", revision=assessment.revision)


def _confirmed_too_many(assessment: Assessment, trainee: PersonRule, progress: Progress) -> Iterator[Refusal]:
    """R2.2: on a critical task the assessor confirmed at most half of the counted runs."""
    case = trainee.holding(assessment.task, assessment.scope).case
    if not case.is_critical or progress.runs_needed == 0 or assessment.by is None:
        return
    confirmed, counted = progress.confirmed_by.get(assessment.by, 0), len(progress.counted)
    if confirmed > case.policy_on(assessment.on).assessor_share_of_runs * counted:
        yield refusal("R2.2", "confirmed_too_many", confirmed=confirmed, counted=counted)


def _judgement(assessment: Assessment, purpose: Purpose) -> Iterator[Refusal]:
    """R2.3: competent needs every criterion asked to be judged, and all judged to be met."""
    for number in purpose.criteria:
        if number not in assessment.judged:
            yield refusal("R2.3", "criterion_not_judged", criterion=number)
    for number, judged in sorted(assessment.judged.items()):
        if judged is not Judgement.MET:
            yield refusal("R2.3", "criterion_not_met", criterion=number)


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


def _stop(
    fact: Fact, rule: str, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, text: str
) -> Iterator[Refusal]:
    """R6: who stops a person says why, is not that person, may do so, and there is something to stop."""
    yield from _future(fact, now)
    yield from _own(fact, rule)
    yield from _no_reason(text, rule)
    yield from _stopper(fact, rule, holder, grants)
    held = holder.holding(fact.task, fact.scope)
    if held.governing_at(fact.happened_at) is None and not initial_trainer_spans(held.case):
        yield refusal(rule, "not_held")


def _stopper(fact: Fact, rule: str, holder: PersonRule, grants: Iterable[AuthorityGrant]) -> Iterator[Refusal]:
    area = holder.frame.tasks[fact.task].area
    if not has_authority(grants, _MAY_STOP, area, fact.on):
        yield refusal(rule, "no_authority", area=area)
