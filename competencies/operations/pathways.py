"""Enrolment on a pathway, and the decision that a unit standard is achieved."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from competencies.ledger.writer import Appended, append, writing
from competencies.models import Enrolment, Person, Qualification, UnitStandard
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Particulars, Signature, append_fact
from competencies.standing.facts import UnitDecision
from competencies.vocabulary import AuthorityKind, EntryKind, Meaning


class PathwayError(Exception):
    """The step on the pathway was not accepted; the message may be shown at the field."""


@writing()
def enrol(*, person: Person, qualification: Qualification, by: Signer, when: When) -> Enrolment:
    """Put a person on a pathway; it pins the qualification's version."""
    appended = append(
        kind=EntryKind.ENROLMENT,
        plant=person.plant,
        at=when.now,
        fields={
            "subject": person.pk,
            "actor": by.person.pk,
            "happened_at": when.happened_at,
            "pathway": qualification.code,
            "version": qualification.version,
            "meaning": Meaning.ADMINISTERED,
            "auth": {"method": by.proof},
        },
        texts={},
        names={"subject": (person.pk, person.name), "actor": (by.person.pk, by.person.name)},
    )
    return Enrolment.objects.create(
        person=person, qualification=qualification, enrolled_on=when.on, entry_seq=appended.seq
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitResult:
    """A unit standard decided as achieved, resting on ledger places; `elsewhere` for credit gained outside."""

    unit: UnitStandard
    evidence: Sequence[int] = ()
    elsewhere: bool = False
    decided_on: date | None = None


@writing()
def decide_unit(*, person: Person, result: UnitResult, assessor: Signer, when: When) -> Appended:
    """Record that a unit standard is achieved (R8.1). Raises PathwayError after the version's last date (R8.4)."""
    unit = result.unit
    decided_on = result.decided_on or when.on
    if unit.last_date_for_assessment is not None and decided_on > unit.last_date_for_assessment:
        raise PathwayError(f"{unit.code} v{unit.version} could be assessed until {unit.last_date_for_assessment}.")
    fact = UnitDecision(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=decided_on,
        by=assessor.person.pk,
        unit=unit.code,
        version=unit.version,
        elsewhere=result.elsewhere,
    )
    return append_fact(
        fact=fact,
        person=person,
        signature=Signature(signer=assessor, meaning=Meaning.COMPETENT, role=AuthorityKind.ASSESS),
        now=when.now,
        particulars=Particulars(fields={"credits": unit.credits, "evidence": list(result.evidence) or None}),
    )
