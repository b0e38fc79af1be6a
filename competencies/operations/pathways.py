"""Enrolment on a pathway, and the decision that a unit standard is achieved."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from competencies.ledger.writer import Appended, writing
from competencies.models import Enrolment, Person, Qualification, UnitStandard
from competencies.operations.decisions import When, about_person
from competencies.operations.pins import Signer
from competencies.operations.recording import (
    Particulars,
    Signature,
    append_fact,
    append_for_plant,
    refuse_if,
)
from competencies.queries.facts import grants_of, rule_of
from competencies.queries.pathways import qualification_rule, unit_rules
from competencies.standing.facts import UnitDecision
from competencies.standing.refusals import AuthorityGrant, Refusal
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import evidence_of
from competencies.standing.unit_refusals import refuse_enrolment, refuse_unit_decision
from competencies.vocabulary import AuthorityKind, EntryKind, Meaning


@writing()
def enrol(*, person: Person, qualification: Qualification, by: Signer, when: When) -> Enrolment:
    """Put a person on a pathway; it pins the qualification's version. Raises RefusedError with every reason.

    On another version of a pathway that the person follows it is the recorded choice to move to it (R8.9): the entry
    points at the enrolment before, which stays readable.
    """
    grants = grants_of([by.person.pk])[by.person.pk]
    refuse_if(enrolment_refusals(person, qualification, grants, when))
    before = _enrolments(person, qualification)
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
            "of": before[-1].entry_seq if before else None,
        },
    )
    return Enrolment.objects.create(
        person=person, qualification=qualification, enrolled_on=when.on, entry_seq=appended.seq
    )


def enrolment_refusals(
    person: Person, qualification: Qualification, grants: Iterable[AuthorityGrant], when: When
) -> tuple[Refusal, ...]:
    """Return why a person may not be put on this version of a pathway (R8.6, R8.9)."""
    return refuse_enrolment(
        qualification_rule(qualification),
        enrolled=[row.qualification.version for row in _enrolments(person, qualification)],
        grants=grants,
        on=when.on,
        today=when.now.astimezone(ZoneInfo(person.plant.timezone)).date(),
    )


def _enrolments(person: Person, qualification: Qualification) -> list[Enrolment]:
    rows = Enrolment.objects.filter(person=person, qualification__code=qualification.code)
    return list(rows.select_related("qualification").order_by("enrolled_on", "pk"))


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitResult:
    """A unit standard decided as achieved, resting on ledger places; `elsewhere` for credit gained outside.

    Where no `evidence` is named it is what stood for the outcomes on the day.
    """

    unit: UnitStandard
    evidence: Sequence[int] = ()
    elsewhere: bool = False


@writing()
def decide_unit(*, person: Person, result: UnitResult, assessor: Signer, when: When) -> Appended:
    """Record that a unit standard is achieved. Raises RefusedError with every reason (R8.1, R8.4).

    `when.on` is the day of the decision, which picks the version.
    """
    rule, grants = rule_of(person), grants_of([assessor.person.pk])[assessor.person.pk]
    units = [each for _, each in unit_rules(person.plant_id)]
    fact = _decision(person, result, assessor, when)
    refuse_if(refuse_unit_decision(fact, units=units, rule=rule, grants=grants, now=when.now))
    unit = next(each for each in units if each.key == (fact.unit, fact.version))
    return append_fact(
        fact=fact,
        person=person,
        signature=Signature(
            signer=assessor,
            meaning=Meaning.UNIT_ACHIEVED,
            role=AuthorityKind.ASSESS,
            right=_assessor_right(grants, rule, unit.outcomes.values(), when.on),
        ),
        now=when.now,
        particulars=Particulars(
            fields={"credits": unit.credits, "evidence": list(evidence_of(unit, rule, fact)) or None}
        ),
    )


def decision_refusals(person: Person, result: UnitResult, assessor: Signer, when: When) -> tuple[Refusal, ...]:
    """Return why a decision would be refused, before it is sent."""
    return refuse_unit_decision(
        _decision(person, result, assessor, when),
        units=[each for _, each in unit_rules(person.plant_id)],
        rule=rule_of(person),
        grants=grants_of([assessor.person.pk])[assessor.person.pk],
        now=when.now,
    )


def _decision(person: Person, result: UnitResult, assessor: Signer, when: When) -> UnitDecision:
    return UnitDecision(
        **about_person(person.pk, assessor, when),  # type: ignore[arg-type]
        unit=result.unit.code,
        version=result.unit.version,
        elsewhere=result.elsewhere,
        evidence=tuple(result.evidence),
    )


def _assessor_right(
    grants: Iterable[AuthorityGrant], rule: PersonRule, outcomes: Iterable[Sequence[str]], on: date
) -> int | None:
    """Return the ledger place of the grant by which somebody assesses in an area of the unit, else in any."""
    areas = {rule.frame.tasks[code].area for codes in outcomes for code in codes if code in rule.frame.tasks}
    assessing = [grant for grant in grants if grant.kind is AuthorityKind.ASSESS]
    serving = [each.seq for each in assessing if any(each.serves(area, on) for area in areas or {each.area or ""})]
    return serving[0] if serving else None
