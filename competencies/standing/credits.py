"""Units, credits and the award of a qualification (R8). Pure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from competencies.standing.facts import UnitDecision
from competencies.standing.rule import PersonRule


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One version of a unit standard. `outcomes` maps an outcome's number to task codes or "calc:C01".

    `last_assessment_on` is the last decision date at which this version is accepted (None: current).
    """

    code: str
    version: int
    level: int
    credits: int
    group: str
    outcomes: Mapping[int, tuple[str, ...]] = field(default_factory=dict)
    last_assessment_on: date | None = None
    first_assessment_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Qualification:
    """One version of a qualification: its rules as figures. Units are named (code, version) in `exclusions`.

    `core` is the group whose units are all wanted; `minimum` and `maximum` are credits by elective group.
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
    """One rule of the qualification: what is asked and what is there."""

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
    """Return what the decisions made by `on` add up to (R8.2 to R8.6)."""
    raise NotImplementedError


def outcomes_met(unit: Unit, rule: PersonRule, decided_on: date) -> Mapping[int, bool]:
    """Return for each outcome whether every task and calculation it lists stands on that decision date (R8.1)."""
    raise NotImplementedError
