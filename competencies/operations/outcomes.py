"""What follows an assessment: seen and appealed by the trainee, reviewed by the coordinator, or a check owed."""

from competencies.ledger.writer import Appended, writing
from competencies.models import Person
from competencies.operations.decisions import When, about_entry, about_task
from competencies.operations.pins import Signer
from competencies.operations.recording import OnTask, Particulars, Signature, append_fact, refuse_if
from competencies.queries.facts import grants_of, rule_of
from competencies.standing import second_looks, stop_refusals
from competencies.standing.entitlement import Refusal
from competencies.standing.facts import Appeal, Assessment, AttemptsReviewed, CheckOwed, OutcomeSeen
from competencies.vocabulary import AuthorityKind, CheckCause, Meaning


@writing()
def see_outcome(*, assessment: Assessment, trainee: Person, by: Signer, when: When, remark: str = "") -> Appended:
    """Record that the trainee has seen an outcome; a remark is kept where it can be erased (R2.7)."""
    seen = OutcomeSeen(**about_entry(assessment, by, when))  # type: ignore[arg-type]
    refuse_if(second_looks.refuse_outcome_seen(seen, trainee=rule_of(trainee), now=when.now))
    return append_fact(
        fact=seen,
        person=trainee,
        signature=Signature(signer=by, meaning=Meaning.OUTCOME_SEEN),
        now=when.now,
        particulars=Particulars(texts={"remark": remark}),
    )


@writing()
def appeal(*, assessment: Assessment, trainee: Person, by: Signer, when: When, remark: str = "") -> Appended:
    """Record the trainee's appeal: another assessor judges next. Raises RefusedError with every reason (R2.7)."""
    against = Appeal(**about_entry(assessment, by, when))  # type: ignore[arg-type]
    refuse_if(second_looks.refuse_appeal(against, trainee=rule_of(trainee), now=when.now))
    return append_fact(
        fact=against,
        person=trainee,
        signature=Signature(signer=by, meaning=Meaning.APPEALED),
        now=when.now,
        particulars=Particulars(texts={"remark": remark}),
    )


@writing()
def review_attempts(*, on_task: OnTask, by: Signer, when: When, reason: str = "") -> Appended:
    """Record the coordinator's review before a fourth attempt. Raises RefusedError with every reason (R5.2)."""
    refuse_if(attempts_refusals(on_task=on_task, by=by, when=when))
    review = AttemptsReviewed(**about_task(on_task, by, when))  # type: ignore[arg-type]
    return append_fact(
        fact=review,
        person=on_task.person,
        signature=Signature(signer=by, meaning=Meaning.ATTEMPTS_REVIEWED, role=AuthorityKind.COORDINATE),
        now=when.now,
        particulars=Particulars(texts={"note": reason}),
    )


@writing()
def owe_check(*, on_task: OnTask, cause: CheckCause, by: Signer, when: When, reason: str = "") -> Appended:
    """Ask for an extra check at once: a critical task stops until it is passed (R3.7). Raises RefusedError."""
    refuse_if(check_refusals(on_task=on_task, by=by, when=when))
    owed = CheckOwed(**about_task(on_task, by, when), cause=cause.value)  # type: ignore[arg-type]
    return append_fact(
        fact=owed,
        person=on_task.person,
        signature=Signature(signer=by, meaning=Meaning.CHECK_ASKED),
        now=when.now,
        particulars=Particulars(texts={"note": reason}),
    )


def attempts_refusals(*, on_task: OnTask, by: Signer, when: When) -> tuple[Refusal, ...]:
    """Return why somebody may not review the attempts (R5.2)."""
    review = AttemptsReviewed(**about_task(on_task, by, when))  # type: ignore[arg-type]
    grants = grants_of([by.person.pk])[by.person.pk]
    return second_looks.refuse_attempts_review(review, trainee=rule_of(on_task.person), grants=grants, now=when.now)


def check_refusals(*, on_task: OnTask, by: Signer, when: When) -> tuple[Refusal, ...]:
    """Return why somebody may not ask for an extra check (R3.7)."""
    owed = CheckOwed(**about_task(on_task, by, when))  # type: ignore[arg-type]
    grants = grants_of([by.person.pk])[by.person.pk]
    return stop_refusals.refuse_check_owed(owed, holder=rule_of(on_task.person), grants=grants, now=when.now)
