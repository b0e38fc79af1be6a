"""Why a decision on a unit, its report, its moderation or an enrolment may not be written down (R8). Pure.

Each takes the entry as it would be written, what is known before it, and what who signs is entrusted with.
"""

from collections.abc import Collection, Iterable, Iterator
from datetime import date, datetime

from competencies.standing.age import is_young
from competencies.standing.credits import Qualification, Unit, VersionState
from competencies.standing.entitlement import (
    AuthorityGrant,
    Refusal,
    in_the_future,
    own_entry,
    refusal,
    without_reason,
)
from competencies.standing.facts import Moderation, UnitDecision, UnitReported
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import CALCULATION, outcomes_met
from competencies.standing.unit_records import UnitRecord
from competencies.vocabulary import AuthorityKind


def refuse_unit_decision(
    decision: UnitDecision,
    *,
    units: Iterable[Unit],
    rule: PersonRule,
    grants: Iterable[AuthorityGrant],
    now: datetime,
) -> tuple[Refusal, ...]:
    """Return why this decision on a unit may not be recorded (R8.1, R8.4); the date of reporting does not matter.

    Credit gained elsewhere is decided too, but asks for no outcome here (R8.7).
    """
    unit = next((each for each in units if each.key == (decision.unit, decision.version)), None)
    if unit is None:
        return (refusal("R8.4", "unknown_version", unit=decision.unit, version=decision.version),)
    out = [*in_the_future(decision, now), *own_entry(decision, "R8.1"), *_version(unit, decision.on)]
    if not _assesses(unit, rule, grants, decision.on):
        out.append(refusal("R8.1", "no_unit_authority", unit=unit.code))
    employment = rule.employment
    if employment is not None and unit.adults_only and is_young(employment, decision.on):
        out.append(refusal("R8", "age", unit=unit.code, until=employment.restricted_until))
    if not decision.elsewhere:
        met = outcomes_met(unit, rule, decision.on, at=decision.happened_at)
        out += [refusal("R8.1", "outcome_not_met", outcome=number) for number, stands in met.items() if not stands]
    return tuple(out)


def refuse_unit_report(
    report: UnitReported, *, record: UnitRecord | None, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this decision may not be entered as reported to the training body (R8.8). The coordinator reports."""
    out = [*in_the_future(report, now), *own_entry(report, "R8.8")]
    if not _holds(grants, {AuthorityKind.COORDINATE}, report.on):
        out.append(refusal("R8.8", "not_coordinator"))
    if record is None:
        return (*out, refusal("R8.8", "unknown_decision"))
    if report.on < record.decision.on:
        out.append(refusal("R8.8", "before_decision", decided=record.decision.on))
    if record.report is not None:
        out.append(refusal("R8.8", "already_reported", reported=record.report.on))
    elif record.disagreement is not None and report.happened_at >= record.disagreement.happened_at:
        out.append(refusal("R8.8", "moderator_disagrees", disagreed=record.disagreement.on))
    return tuple(out)


def refuse_moderation(
    moderation: Moderation,
    *,
    record: UnitRecord | None,
    grants: Iterable[AuthorityGrant],
    now: datetime,
    reason: str,
    moderator: str = "",
) -> tuple[Refusal, ...]:
    """Return why this moderation may not be recorded (R8.8).

    An auditor moderates in person; a coordinator writes down what a named `moderator` of the training body said.
    Whoever decided the unit, and whose unit it is, does neither. A disagreement needs its `reason`.
    """
    known = list(grants)
    out = [*in_the_future(moderation, now), *own_entry(moderation, "R8.8")]
    if not _holds(known, {AuthorityKind.COORDINATE, AuthorityKind.AUDIT}, moderation.on):
        out.append(refusal("R8.8", "not_moderator"))
    if not moderation.agrees:
        out += without_reason(reason, "R8.8")
    if not moderator.strip() and not _holds(known, {AuthorityKind.AUDIT}, moderation.on):
        out.append(refusal("R8.8", "moderator_unnamed"))
    if record is None:
        return (*out, refusal("R8.8", "unknown_decision"))
    if moderation.by == record.decision.by:
        out.append(refusal("R8.8", "decided_it"))
    if moderation.on < record.decision.on:
        out.append(refusal("R8.8", "before_decision", decided=record.decision.on))
    return tuple(out)


def refuse_enrolment(
    qualification: Qualification,
    *,
    enrolled: Collection[int],
    grants: Iterable[AuthorityGrant],
    on: date,
    today: date,
) -> tuple[Refusal, ...]:
    """Return why a person may not be put on this version of a pathway on a day (R8.6, R8.9).

    `enrolled` are the versions of the same pathway that the person has been on.
    """
    out = []
    if not _holds(grants, {AuthorityKind.COORDINATE}, on):
        out.append(refusal("R8.9", "not_coordinator"))
    if on > today:
        out.append(refusal("R2.6", "future"))
    if qualification.last_enrolment_on is not None and on > qualification.last_enrolment_on:
        out.append(refusal("R8.6", "enrolment_closed", last_day=qualification.last_enrolment_on))
    if qualification.version in enrolled:
        out.append(refusal("R8.9", "already_enrolled", version=qualification.version))
    elif any(version > qualification.version for version in enrolled):
        out.append(refusal("R8.9", "older_version", version=qualification.version, current=max(enrolled)))
    return tuple(out)


def _version(unit: Unit, day: date) -> Iterator[Refusal]:
    """R8.4: the decision date picks the version."""
    state = unit.state_on(day)
    if state is VersionState.COMING:
        yield refusal("R8.4", "version_coming", unit=unit.code, first_day=unit.first_assessment_on)
    if state is VersionState.DISCONTINUED:
        yield refusal("R8.4", "version_closed", unit=unit.code, last_day=unit.last_assessment_on)


def _assesses(unit: Unit, rule: PersonRule, grants: Iterable[AuthorityGrant], on: date) -> bool:
    """Whether somebody is an assessor for a unit on a day: for the area of one of its tasks, or any if it has none."""
    listed = [code for codes in unit.outcomes.values() for code in codes if not code.startswith(CALCULATION)]
    areas = {rule.frame.tasks[code].area for code in listed if code in rule.frame.tasks}
    assessing = [grant for grant in grants if grant.kind is AuthorityKind.ASSESS]
    return any(grant.serves(area, on) for grant in assessing for area in areas or {grant.area or ""})


def _holds(grants: Iterable[AuthorityGrant], kinds: Collection[AuthorityKind], on: date) -> bool:
    """Whether somebody is entrusted with one of these on a day, in whatever area: a unit belongs to no one area."""
    return any(grant.kind in kinds and grant.serves(grant.area or "", on) for grant in grants)
