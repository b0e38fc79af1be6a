"""Decisions: assessments and their signatures, recognition, stopping and starting again, corrections."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.ledger.writer import Appended, appended_under, writing
from competencies.models import Person, Task
from competencies.operations.pins import Signer
from competencies.operations.recording import (
    UNWRITTEN,
    OnTask,
    Particulars,
    Signature,
    append_fact,
    refuse_if,
)
from competencies.operations.runs import Observed
from competencies.queries.facts import grants_of, rule_of, rules_of
from competencies.standing import refusals, stop_refusals
from competencies.standing.facts import (
    Acknowledgement,
    Assessment,
    Fact,
    Lifting,
    Recognition,
    Scope,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.refusals import AuthorityGrant
from competencies.vocabulary import AuthorityKind, Meaning, Outcome, SecondRole

ROLE_OF = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """The floor's moment and plant date of an act, and the server's moment of writing it down."""

    happened_at: datetime
    on: date
    now: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """An assessor's decision on a revision of a procedure.

    `evidence` are the ledger places it rests on; `shown` is the digest of the task's text as it was on the screen.
    """

    outcome: Outcome
    revision: int
    observed: Observed
    evidence: Sequence[int] = ()
    delta: bool = False
    shown: str = ""
    feedback: str = ""
    practise: str = ""


def about_person(person: int, by: Signer, when: When) -> dict[str, object]:
    """Return the fields of a fact about a person, by number, that somebody writes."""
    return {
        "seq": UNWRITTEN,
        "person": person,
        "happened_at": when.happened_at,
        "recorded_at": when.now,
        "on": when.on,
        "by": by.person.pk,
    }


def about_task(on_task: OnTask, by: Signer, when: When) -> dict[str, object]:
    """Return the fields of a fact about a person on a task that somebody writes."""
    return {**about_person(on_task.person.pk, by, when), "task": on_task.task.code, "scope": on_task.scope}


def about_entry(entry: Fact, by: Signer, when: When) -> dict[str, object]:
    """Return the fields of a fact that points at an entry: it is about the same person, task and place."""
    return {**about_person(entry.person, by, when), "task": entry.task, "scope": entry.scope, "of": entry.seq}


def _right(grants: Iterable[AuthorityGrant], kinds: Iterable[AuthorityKind], area: str, on: date) -> int | None:
    """Return the ledger place of the grant that the signer acts by."""
    wanted = set(kinds)
    return next((grant.seq for grant in grants if grant.kind in wanted and grant.serves(area, on)), None)


@writing()
def assess(*, on_task: OnTask, assessor: Signer, verdict: Verdict, when: When, token: str = "") -> Appended:
    """Record an assessor's signed judgement of one performance. Raises RefusedError with every reason (R2, R5)."""
    if token and (earlier := appended_under(token)):
        return earlier
    trainee, task = on_task.person, on_task.task
    fact = Assessment(
        **about_task(on_task, assessor, when),  # type: ignore[arg-type]
        revision=verdict.revision,
        outcome=verdict.outcome,
        judged=verdict.observed.judged,
        delta=verdict.delta,
    )
    rules = rules_of([trainee, assessor.person])
    grants = grants_of([assessor.person.pk])[assessor.person.pk]
    refuse_if(
        refusals.refuse_assessment(
            fact, trainee=rules[trainee.pk], assessor=rules[assessor.person.pk], grants=grants, now=when.now
        )
    )
    purpose = rules[trainee.pk].purpose_at(
        task.code, on_task.scope, when.happened_at, revision=verdict.revision, is_delta=verdict.delta
    )
    meaning = Meaning.COMPETENT if verdict.outcome is Outcome.COMPETENT else Meaning.NOT_YET_COMPETENT
    return append_fact(
        fact=fact,
        person=trainee,
        signature=Signature(
            signer=assessor,
            meaning=meaning,
            role=AuthorityKind.ASSESS,
            right=_right(grants, [AuthorityKind.ASSESS], task.area.code, when.on),
            token=token,
        ),
        now=when.now,
        particulars=Particulars(
            texts={
                "note": verdict.observed.note,
                "feedback": verdict.feedback,
                "practise": verdict.practise,
            },
            fields={
                "readings": [reading.fields() for reading in verdict.observed.readings] or None,
                "purpose": purpose.kind.value,
                "evidence": list(verdict.evidence) or None,
                "shown": verdict.shown or None,
            },
        ),
    )


@writing()
def sign_second(
    *, assessment: Assessment, trainee: Person, task: Task, signer: Signer, when: When, token: str = ""
) -> Appended:
    """Sign a critical task's assessment a second time, in every role the signer holds that is still missing (R2.4)."""
    if token and (earlier := appended_under(token)):
        return earlier
    fact = _second_signature(assessment, OnTask(person=trainee, task=task, scope=assessment.scope), signer, when)
    grants = grants_of([signer.person.pk])[signer.person.pk]
    refuse_if(refusals.refuse_second_signature(fact, trainee=rule_of(trainee), grants=grants, now=when.now))
    kinds = [ROLE_OF[role] for role in sorted(fact.roles)]
    return append_fact(
        fact=fact,
        person=trainee,
        signature=Signature(
            signer=signer,
            meaning=Meaning.REVIEWED,
            role=kinds[0],
            right=_right(grants, kinds, task.area.code, when.on),
            token=token,
        ),
        now=when.now,
    )


def _second_signature(assessment: Assessment, on_task: OnTask, signer: Signer, when: When) -> SecondSignature:
    """Return the signature in every role that the signer holds on its day."""
    grants, area = grants_of([signer.person.pk])[signer.person.pk], on_task.task.area.code
    roles = frozenset(role for role, kind in ROLE_OF.items() if _right(grants, [kind], area, when.on) is not None)
    about = about_task(on_task, signer, when)
    return SecondSignature(**about, of=assessment.seq, roles=roles)  # type: ignore[arg-type]


def signature_refusals(
    *, assessment: Assessment, trainee: Person, task: Task, signer: Signer, when: When
) -> tuple[refusals.Refusal, ...]:
    """Return why somebody may not sign an assessment a second time (R2.4)."""
    fact = _second_signature(assessment, OnTask(person=trainee, task=task, scope=assessment.scope), signer, when)
    grants = grants_of([signer.person.pk])[signer.person.pk]
    return refusals.refuse_second_signature(fact, trainee=rule_of(trainee), grants=grants, now=when.now)


@writing()
def acknowledge(*, holder: Signer, task: Task, scope: Scope, revision: int, when: When) -> Appended:
    """Record that the holder has read and understood a revision (R4.2)."""
    fact = Acknowledgement(
        **about_task(OnTask(person=holder.person, task=task, scope=scope), holder, when),  # type: ignore[arg-type]
        revision=revision,
    )
    refuse_if(refusals.refuse_acknowledgement(fact, holder=rule_of(holder.person), now=when.now))
    return append_fact(
        fact=fact,
        person=holder.person,
        signature=Signature(signer=holder, meaning=Meaning.READ_AND_UNDERSTOOD),
        now=when.now,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideEvidence:
    """Evidence of prior competence: its date, an outside certificate's end, and the criteria it is granted for."""

    evidence_on: date
    evidence_ends_on: date | None = None
    criteria: frozenset[int] = frozenset()
    runs_needed: int = 1
    note: str = ""


@writing()
def recognise(*, on_task: OnTask, assessor: Signer, evidence: OutsideEvidence, when: When) -> Appended:
    """Recognise prior competence: it cuts the runs that are asked, never the assessment (R11)."""
    trainee, task = on_task.person, on_task.task
    fact = Recognition(
        **about_task(on_task, assessor, when),  # type: ignore[arg-type]
        evidence_on=evidence.evidence_on,
        evidence_ends_on=evidence.evidence_ends_on,
        criteria=evidence.criteria,
        runs_needed=evidence.runs_needed,
    )
    grants = grants_of([assessor.person.pk])[assessor.person.pk]
    refuse_if(refusals.refuse_recognition(fact, trainee=rule_of(trainee), grants=grants, now=when.now))
    return append_fact(
        fact=fact,
        person=trainee,
        signature=Signature(
            signer=assessor,
            meaning=Meaning.RECOGNISED,
            role=AuthorityKind.ASSESS,
            right=_right(grants, [AuthorityKind.ASSESS], task.area.code, when.on),
        ),
        now=when.now,
        particulars=Particulars(texts={"note": evidence.note}),
    )


@writing()
def suspend(*, on_task: OnTask, by: Signer, when: When, reason: str) -> Appended:
    """Suspend a sign-off while something is looked into: stops now, no fault recorded (R6.1)."""
    fact = Suspension(**about_task(on_task, by, when))  # type: ignore[arg-type]
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(
        stop_refusals.refuse_suspension(
            fact, holder=rule_of(on_task.person), grants=grants, now=when.now, reason=reason
        )
    )
    return _append_stop(fact, on_task.person, by, when, Meaning.SUSPENDED, reason)


@writing()
def lift_suspension(*, suspension: Suspension, holder: Person, by: Signer, when: When, reason: str) -> Appended:
    """Lift a suspension: the sign-off is as it was, and no time is added (R6.1)."""
    fact = Lifting(
        seq=UNWRITTEN,
        person=holder.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        task=suspension.task,
        scope=suspension.scope,
        by=by.person.pk,
        of=suspension.seq,
    )
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(stop_refusals.refuse_lifting(fact, holder=rule_of(holder), grants=grants, now=when.now))
    return _append_stop(fact, holder, by, when, Meaning.REINSTATED, reason)


@writing()
def withdraw(*, on_task: OnTask, by: Signer, when: When, reason: str) -> Appended:
    """Withdraw a sign-off for cause, to the minute (R6.2)."""
    fact = Withdrawal(**about_task(on_task, by, when))  # type: ignore[arg-type]
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(
        stop_refusals.refuse_withdrawal(
            fact, holder=rule_of(on_task.person), grants=grants, now=when.now, reason=reason
        )
    )
    return _append_stop(fact, on_task.person, by, when, Meaning.WITHDRAWN, reason)


def _append_stop(fact: Fact, holder: Person, by: Signer, when: When, meaning: Meaning, reason: str) -> Appended:
    return append_fact(
        fact=fact,
        person=holder,
        signature=Signature(signer=by, meaning=meaning),
        now=when.now,
        particulars=Particulars(texts={"note": reason}),
    )
