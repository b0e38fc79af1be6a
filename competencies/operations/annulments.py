"""Annulling a sign-off, which puts others under review; and looking at those again (R6.4)."""

from dataclasses import dataclass, replace
from datetime import date

from competencies.ledger.writer import Appended, writing
from competencies.models import LedgerEntry, Person
from competencies.operations.decisions import When, about_entry
from competencies.operations.pins import Signer
from competencies.operations.recording import Particulars, Signature, append_fact, refuse_if
from competencies.queries.annulments import Following, following
from competencies.queries.facts import grants_of, rule_of, rules_of
from competencies.standing import second_looks
from competencies.standing.doubts import open_review
from competencies.standing.entitlement import Refusal
from competencies.standing.facts import Annulment, Assessment, Reverification, Review
from competencies.vocabulary import AnnulmentCause, AuthorityKind, DoubtCause, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """Why a sign-off is annulled, in a word and in words, and the first day on which its assessor was in doubt.

    `unentitled_from` None: worked out from the assessor's authorities as known now.
    """

    cause: AnnulmentCause
    reason: str
    unentitled_from: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnnulledWith:
    """What was written: the annulment, and the reviews of the other sign-offs that it puts in doubt."""

    annulment: Appended
    reviews: tuple[Appended, ...]


@writing()
def annul(*, signoff: Assessment, holder: Person, ruling: Ruling, by: Signer, when: When) -> AnnulledWith:
    """Say that a sign-off was never in force, and put under review what it puts in doubt, in one act.

    Raises RefusedError with every reason (R6.4).
    """
    refuse_if(annulment_refusals(signoff=signoff, holder=holder, ruling=ruling, by=by, when=when))
    found = following(signoff, holder.plant, since=ruling.unentitled_from, until=when.happened_at)
    annulment = replace(_annulment(signoff, ruling, by, when), unentitled_from=found.since)
    appended = append_fact(
        fact=annulment,
        person=holder,
        signature=Signature(signer=by, meaning=Meaning.ANNULLED, role=AuthorityKind.COORDINATE),
        now=when.now,
        particulars=Particulars(texts={"note": ruling.reason}),
    )
    return AnnulledWith(annulment=appended, reviews=_put_under_review(found, appended, by, when))


def annulment_refusals(
    *, signoff: Assessment, holder: Person, ruling: Ruling, by: Signer, when: When
) -> tuple[Refusal, ...]:
    """Return why a sign-off may not be annulled so (R6.4)."""
    grants = grants_of([by.person.pk])[by.person.pk]
    annulment = _annulment(signoff, ruling, by, when)
    return second_looks.refuse_annulment(
        annulment, holder=rule_of(holder), grants=grants, now=when.now, reason=ruling.reason
    )


def _annulment(signoff: Assessment, ruling: Ruling, by: Signer, when: When) -> Annulment:
    return Annulment(
        **about_entry(signoff, by, when),  # type: ignore[arg-type]
        cause=ruling.cause.value,
        unentitled_from=ruling.unentitled_from,
    )


def _put_under_review(found: Following, annulment: Appended, by: Signer, when: When) -> tuple[Appended, ...]:
    holders = Person.objects.select_related("plant").in_bulk({doubt.assessment.person for doubt in found.doubts})
    return tuple(
        _append_review(
            Review(
                **about_entry(doubt.assessment, by, when),  # type: ignore[arg-type]
                cause=doubt.cause.value,
                annulment=annulment.seq,
            ),
            holders[doubt.assessment.person],
            by,
            when,
        )
        for doubt in found.doubts
    )


def _append_review(review: Review, holder: Person, by: Signer, when: When, reason: str = "") -> Appended:
    return append_fact(
        fact=review,
        person=holder,
        signature=Signature(signer=by, meaning=Meaning.DOUBTED, role=AuthorityKind.COORDINATE),
        now=when.now,
        particulars=Particulars(texts={"note": reason}),
    )


@writing()
def put_under_review(*, signoff: Assessment, holder: Person, by: Signer, when: When, reason: str = "") -> Appended:
    """Put one sign-off under review; one that is under review already stays so since it was first in doubt.

    Raises RefusedError with every reason (R6.4).
    """
    rule = rule_of(holder)
    review = Review(**about_entry(signoff, by, when), cause=DoubtCause.IN_QUESTION.value)  # type: ignore[arg-type]
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(second_looks.refuse_review(review, holder=rule, grants=grants, now=when.now))
    before = open_review(rule.holding(signoff.task, signoff.scope), signoff)
    if before is not None:
        digest = LedgerEntry.objects.values_list("hash", flat=True).get(seq=before.seq)
        return Appended(before.seq, bytes(digest), repeated=True)
    return _append_review(review, holder, by, when, reason)


@writing()
def reverify(*, signoff: Assessment, holder: Person, by: Signer, when: When, reason: str = "") -> Appended:
    """Say that a sign-off under review was looked at again and stands (R6.4). Raises RefusedError, all reasons."""
    refuse_if(reverification_refusals(signoff=signoff, holder=holder, by=by, when=when))
    verified = Reverification(**about_entry(signoff, by, when))  # type: ignore[arg-type]
    return append_fact(
        fact=verified,
        person=holder,
        signature=Signature(signer=by, meaning=Meaning.STANDS, role=AuthorityKind.ASSESS),
        now=when.now,
        particulars=Particulars(texts={"note": reason}),
    )


def reverification_refusals(*, signoff: Assessment, holder: Person, by: Signer, when: When) -> tuple[Refusal, ...]:
    """Return why somebody may not say that a sign-off under review stands (R6.4)."""
    verified = Reverification(**about_entry(signoff, by, when))  # type: ignore[arg-type]
    rules = rules_of([holder, by.person])
    grants = grants_of([by.person.pk])[by.person.pk]
    return second_looks.refuse_reverification(
        verified, holder=rules[holder.pk], assessor=rules[by.person.pk], grants=grants, now=when.now
    )
