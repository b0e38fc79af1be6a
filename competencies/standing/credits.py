"""Units, credits and the award of a qualification (R8). Pure.

A credit and a standing on the floor are different things: a credit does not lapse with the sign-off (R8.3), and a
credit from elsewhere gives no standing (R8.7).
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from competencies.standing.age import is_young
from competencies.standing.calendar import INSTANT, add_months, clock_of, days_after
from competencies.standing.case import order_of
from competencies.standing.facts import UnitDecision, Withdrawal
from competencies.standing.progress import passed_on
from competencies.standing.refusals import Refusal, refusal
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import Holding, SignOff

CALCULATION = "calc:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One version of a unit standard. `outcomes` maps an outcome's number to task codes or "calc:C01".

    It may be decided from `first_assessment_on` to `last_assessment_on`, both included (None: open). `adults_only`
    keeps it from young workers, judged on the decision date.
    """

    code: str
    version: int
    level: int
    credits: int
    group: str
    outcomes: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    last_assessment_on: date | None = None
    first_assessment_on: date | None = None
    adults_only: bool = False

    def is_open_on(self, day: date) -> bool:
        """Whether a decision on a day may be made on this version (R8.4)."""
        begun = self.first_assessment_on is None or self.first_assessment_on <= day
        return begun and (self.last_assessment_on is None or day <= self.last_assessment_on)


@dataclass(frozen=True, slots=True, kw_only=True)
class Qualification:
    """One version of a qualification: its rules as figures. Units are named (code, version) in `exclusions`.

    `core` is the group whose units are all wanted; `minimum` and `maximum` are credits by elective group;
    `level_credits` are the credits wanted at `level` or above. It can be achieved until `last_achievement_on`.
    """

    code: str
    total: int
    core: str = "core"
    minimum: Mapping[str, int] = field(default_factory=dict)
    maximum: Mapping[str, int] = field(default_factory=dict)
    level: int = 0
    level_credits: int = 0
    exclusions: tuple[frozenset[tuple[str, int]], ...] = ()
    last_enrolment_on: date | None = None
    last_achievement_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """One rule of the qualification in credits: what is asked and what is reached."""

    rule: str
    asked: int
    reached: int

    @property
    def missing(self) -> int:
        """Return the credits still missing on this rule."""
        return max(0, self.asked - self.reached)


@dataclass(frozen=True, slots=True, kw_only=True)
class PathwayResult:
    """Credits on a day: by unit what counts and what is surplus, the distance on each rule, the award date."""

    counted: Mapping[str, int]
    surplus: Mapping[str, int]
    total: int
    distances: tuple[Distance, ...]
    core_missing: tuple[str, ...]
    awarded_on: date | None


def pathway_result(
    decisions: Iterable[UnitDecision], qualification: Qualification, units: Iterable[Unit], on: date
) -> PathwayResult:
    """Return what the decisions made by `on` add up to (R8.2 to R8.6). Corrected decisions must be left out before."""
    known = sorted((each for each in decisions if each.on <= on), key=order_of)
    offered = list(units)
    awarded_on = _awarded_on(known, qualification, offered)
    return replace(_sum(known, qualification, offered), awarded_on=awarded_on)


def achieved_units(
    decisions: Iterable[UnitDecision], qualification: Qualification, units: Iterable[Unit]
) -> list[Unit]:
    """Return the units that count: of two versions or of an excluded pair only the better, by credits (R8.4)."""
    offered = {(unit.code, unit.version): unit for unit in units}
    decided = [(offered.get((each.unit, each.version)), each.on) for each in decisions]
    achieved = {(unit.code, unit.version): unit for unit, day in decided if unit is not None and unit.is_open_on(day)}
    kept: list[Unit] = []
    for unit in sorted(achieved.values(), key=lambda each: (-each.credits, each.code, -each.version)):
        if not any(_excludes(qualification, unit, other) for other in kept):
            kept.append(unit)
    return kept


def _excludes(qualification: Qualification, unit: Unit, other: Unit) -> bool:
    pair = {(unit.code, unit.version), (other.code, other.version)}
    return unit.code == other.code or any(pair <= excluded for excluded in qualification.exclusions)


def _awarded_on(known: Sequence[UnitDecision], qualification: Qualification, units: Sequence[Unit]) -> date | None:
    """Return the first decision date on which all rules hold, if the qualification could still be achieved (R8.6)."""
    last = qualification.last_achievement_on
    for day in sorted({each.on for each in known}):
        if last is not None and day > last:
            return None
        result = _sum([each for each in known if each.on <= day], qualification, units)
        if not result.core_missing and not any(each.missing for each in result.distances):
            return day
    return None


def _sum(known: Sequence[UnitDecision], qualification: Qualification, units: Sequence[Unit]) -> PathwayResult:
    achieved = achieved_units(known, qualification, units)
    counted, surplus = _capped(achieved, qualification)
    by_group: dict[str, int] = defaultdict(int)
    at_level = 0
    for unit in achieved:
        by_group[unit.group] += counted[unit.code]
        at_level += counted[unit.code] if unit.level >= qualification.level else 0
    total = sum(counted.values())
    core = [unit for unit in (*sorted(units, key=_version), *achieved) if unit.group == qualification.core]
    wanted = {unit.code: unit.credits for unit in core}
    minimum = qualification.minimum.items()
    distances = (
        Distance(rule=qualification.core, asked=sum(wanted.values()), reached=by_group[qualification.core]),
        *(Distance(rule=group, asked=asked, reached=by_group[group]) for group, asked in minimum),
        Distance(rule="level", asked=qualification.level_credits, reached=at_level),
        Distance(rule="total", asked=qualification.total, reached=total),
    )
    return PathwayResult(
        counted=counted,
        surplus=surplus,
        total=total,
        distances=distances,
        core_missing=tuple(sorted(wanted.keys() - counted.keys())),
        awarded_on=None,
    )


def _version(unit: Unit) -> int:
    return unit.version


def _capped(achieved: Iterable[Unit], qualification: Qualification) -> tuple[dict[str, int], dict[str, int]]:
    """Return credits counted and surplus by unit: a group is cut to its maximum credit by credit (R8.5).

    The units of the highest level are counted first, so that the cut takes nothing from the level minimum in vain.
    """
    left = dict(qualification.maximum)
    counted: dict[str, int] = {}
    surplus: dict[str, int] = {}
    for unit in sorted(achieved, key=lambda each: (-each.level, each.code)):
        room = left.get(unit.group, unit.credits)
        counted[unit.code] = min(unit.credits, room)
        if unit.group in left:
            left[unit.group] -= counted[unit.code]
        if counted[unit.code] < unit.credits:
            surplus[unit.code] = unit.credits - counted[unit.code]
    return counted, surplus


def outcomes_met(unit: Unit, rule: PersonRule, decided_on: date) -> Mapping[int, bool]:
    """Return for each outcome whether every task and calculation it lists stands on that decision date (R8.1)."""
    return {number: not missing for number, missing in outcome_gaps(unit, rule, decided_on).items()}


def outcome_gaps(unit: Unit, rule: PersonRule, decided_on: date) -> Mapping[int, tuple[str, ...]]:
    """Return for each outcome the tasks and calculations that are missing on that decision date (R8.1, R8.2)."""
    return {
        number: tuple(code for code in listed if not _stands(code, rule, decided_on))
        for number, listed in unit.outcomes.items()
    }


def refuse_unit_decision(decision: UnitDecision, *, units: Iterable[Unit], rule: PersonRule) -> tuple[Refusal, ...]:
    """Return why this decision on a unit may not be recorded (R8.1, R8.4); the date of reporting does not matter."""
    unit = next((each for each in units if (each.code, each.version) == (decision.unit, decision.version)), None)
    if unit is None:
        return (refusal("R8.4", "unknown_version", unit=decision.unit, version=decision.version),)
    out: list[Refusal] = []
    if not unit.is_open_on(decision.on):
        out.append(refusal("R8.4", "version_closed", unit=unit.code, last_day=unit.last_assessment_on))
    employment = rule.employment
    if employment is not None and unit.adults_only and is_young(employment, decision.on):
        out.append(refusal("R8", "age", unit=unit.code, until=employment.restricted_until))
    if decision.by == decision.person:
        out.append(refusal("R8.1", "own"))
    if not decision.elsewhere:
        met = outcomes_met(unit, rule, decision.on)
        out += [refusal("R8.1", "outcome_not_met", outcome=number) for number, stands in met.items() if not stands]
    return tuple(out)


def _stands(code: str, rule: PersonRule, decided_on: date) -> bool:
    """Whether a task's sign-off was effective, or a calculation passed, in the 24 months before the decision."""
    months = rule.frame.policy_on(decided_on).unit_evidence_months
    if code.startswith(CALCULATION):
        return passed_on(rule.checks.get(code.removeprefix(CALCULATION), ()), decided_on, months)
    held = [rule.holding(code, scope) for scope in rule.scopes_of(code)]
    return any(_was_effective(each, signoff, decided_on, months) for each in held for signoff in each.signoffs)


def _was_effective(held: Holding, signoff: SignOff, decided_on: date, months: int) -> bool:
    clock = clock_of(held.case.frame.timezone)
    until = clock.midnight(days_after(decided_on, 1)) - INSTANT
    since = clock.midnight(add_months(decided_on, -months))
    withdrawn = any(
        fact.happened_at <= until and order_of(fact) > order_of(signoff.assessment)
        for fact in held.case.all_of(Withdrawal)
    )
    return signoff.gain.start <= until and signoff.ends_at > since and not withdrawn
