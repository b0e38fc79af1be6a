"""Enrolment on a pathway, and the decision that a unit standard is achieved."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from competencies.ledger.writer import Appended, writing
from competencies.models import Enrolment, Person, Qualification, UnitStandard
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import (
    UNWRITTEN,
    Particulars,
    Signature,
    append_fact,
    append_for_plant,
    refuse_if,
)
from competencies.queries.facts import rule_of
from competencies.queries.pathways import unit_rules
from competencies.standing.credits import refuse_unit_decision
from competencies.standing.facts import UnitDecision
from competencies.vocabulary import AuthorityKind, EntryKind, Meaning


@writing()
def enrol(*, person: Person, qualification: Qualification, by: Signer, when: When) -> Enrolment:
    """Put a person on a pathway; it pins the qualification's version."""
    appended = append_for_plant(
        kind=EntryKind.ENROLMENT,
        plant=person.plant,
        about=person,
        signer=by,
        now=when.now,
        fields={
            "happened_at": when.happened_at,
            "pathway": qualification.code,
            "version": qualification.version,
        },
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
    """Record that a unit standard is achieved. Raises RefusedError with every reason (R8.1, R8.4)."""
    unit = result.unit
    decided_on = result.decided_on or when.on
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
    units = [each for _, each in unit_rules(person.plant_id)]
    refuse_if(refuse_unit_decision(fact, units=units, rule=rule_of(person)))
    return append_fact(
        fact=fact,
        person=person,
        signature=Signature(signer=assessor, meaning=Meaning.COMPETENT, role=AuthorityKind.ASSESS),
        now=when.now,
        particulars=Particulars(fields={"credits": unit.credits, "evidence": list(result.evidence) or None}),
    )
