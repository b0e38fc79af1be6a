"""Reporting a decided unit to the training body, and what a moderator says of it (R8.8)."""

from dataclasses import dataclass

from competencies.ledger.writer import Appended, writing
from competencies.models import Person
from competencies.operations.decisions import When, about_entry, about_person
from competencies.operations.pins import Signer
from competencies.operations.recording import Particulars, Signature, append_fact, refuse_if
from competencies.queries.facts import grants_of, rule_of
from competencies.queries.pathways import unit_rules
from competencies.standing.facts import Assessment, Moderation, Review, UnitReported
from competencies.standing.refusals import Refusal
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import is_under_review, sign_offs_behind
from competencies.standing.unit_records import UnitRecord, unit_records
from competencies.standing.unit_refusals import refuse_moderation, refuse_unit_report
from competencies.vocabulary import AuthorityKind, DoubtCause, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Opinion:
    """What a moderator says of a decision, and why; `moderator` names one who is not at the keyboard."""

    agrees: bool
    reason: str = ""
    moderator: str = ""


@writing()
def report_unit(*, person: Person, decision: int, by: Signer, when: When) -> Appended:
    """Record that a decision on a unit was reported to the training body. Raises RefusedError with every reason.

    `decision` is the ledger place of the decision; `when.on` the day of the report.
    """
    fact = _report(person, decision, by, when)
    refuse_if(_report_refusals(fact, rule_of(person), by, when))
    return append_fact(
        fact=fact,
        person=person,
        signature=Signature(signer=by, meaning=Meaning.ADMINISTERED, role=AuthorityKind.COORDINATE),
        now=when.now,
    )


def report_refusals(person: Person, decision: int, by: Signer, when: When) -> tuple[Refusal, ...]:
    """Return why a report would be refused, before it is sent."""
    return _report_refusals(_report(person, decision, by, when), rule_of(person), by, when)


@writing()
def moderate_unit(*, person: Person, decision: int, opinion: Opinion, by: Signer, when: When) -> Appended:
    """Record what a moderator says of a decision on a unit. Raises RefusedError with every reason.

    A disagreement puts every sign-off behind the decision under review, in the same act (R6.4); none vanishes.
    """
    rule = rule_of(person)
    fact = _moderation(person, decision, opinion, by, when)
    refuse_if(_moderation_refusals(fact, rule, opinion, by, when))
    signature = Signature(signer=by, meaning=Meaning.MODERATED)
    appended = append_fact(
        fact=fact,
        person=person,
        signature=signature,
        now=when.now,
        particulars=Particulars(texts={"note": opinion.reason, "moderator": opinion.moderator}),
    )
    for assessment in [] if opinion.agrees else goes_under_review(person, rule, decision, when):
        append_fact(
            fact=Review(
                **about_entry(assessment, by, when),  # type: ignore[arg-type]
                cause=DoubtCause.UNIT_DISPUTED.value,
            ),
            person=person,
            signature=Signature(signer=by, meaning=Meaning.DOUBTED),
            now=when.now,
            particulars=Particulars(texts={"note": opinion.reason}),
        )
    return appended


def moderation_refusals(
    person: Person, decision: int, opinion: Opinion, by: Signer, when: When
) -> tuple[Refusal, ...]:
    """Return why a moderation would be refused, before it is sent."""
    return _moderation_refusals(_moderation(person, decision, opinion, by, when), rule_of(person), opinion, by, when)


def goes_under_review(person: Person, rule: PersonRule, decision: int, when: When) -> tuple[Assessment, ...]:
    """Return the sign-offs behind a decision that a disagreement puts under review: those that are not already."""
    record = _record(rule, decision, when)
    if record is None:
        return ()
    unit = next((unit for _, unit in unit_rules(person.plant_id) if unit.key == record.key), None)
    behind = sign_offs_behind(unit, rule, record.decision) if unit else ()
    return tuple(
        each
        for each in behind
        if not is_under_review(rule.holding(each.task, each.scope).case, each.seq, when.happened_at)
    )


def _record(rule: PersonRule, decision: int, when: When) -> UnitRecord | None:
    """Return the decision at a place in the ledger with all that is known of it, if it stands."""
    last = max((fact.on for fact in rule.of_units), default=when.on)
    records = unit_records(rule.of_units, max(last, when.on))
    return next((each for each in records if each.decision.seq == decision), None)


def _report(person: Person, decision: int, by: Signer, when: When) -> UnitReported:
    return UnitReported(
        **about_person(person.pk, by, when),  # type: ignore[arg-type]
        of=decision,
    )


def _moderation(person: Person, decision: int, opinion: Opinion, by: Signer, when: When) -> Moderation:
    return Moderation(
        **about_person(person.pk, by, when),  # type: ignore[arg-type]
        of=decision,
        agrees=opinion.agrees,
    )


def _report_refusals(fact: UnitReported, rule: PersonRule, by: Signer, when: When) -> tuple[Refusal, ...]:
    grants = grants_of([by.person.pk])[by.person.pk]
    return refuse_unit_report(fact, record=_record(rule, fact.of, when), grants=grants, now=when.now)


def _moderation_refusals(
    fact: Moderation, rule: PersonRule, opinion: Opinion, by: Signer, when: When
) -> tuple[Refusal, ...]:
    return refuse_moderation(
        fact,
        record=_record(rule, fact.of, when),
        grants=grants_of([by.person.pk])[by.person.pk],
        now=when.now,
        reason=opinion.reason,
        moderator=opinion.moderator,
    )
