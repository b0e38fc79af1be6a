"""Units, credits and the award of a qualification (R8.2 to R8.6, R8.8). Pure.

A credit and a standing on the floor are different things: a credit does not lapse with the sign-off (R8.3), and a
credit from elsewhere gives no standing (R8.7).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum

from competencies.standing.facts import Fact
from competencies.standing.unit_records import UnitKey, UnitRecord, unit_records


class VersionState(StrEnum):
    """Where a version of a unit is in its life on a day (R8.4)."""

    COMING = "coming"
    CURRENT = "current"
    EXPIRING = "expiring"
    DISCONTINUED = "discontinued"


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

    @property
    def key(self) -> UnitKey:
        """Return code and version."""
        return self.code, self.version

    def is_open_on(self, day: date) -> bool:
        """Whether a decision on a day may be made on this version (R8.4)."""
        return self.state_on(day) in {VersionState.CURRENT, VersionState.EXPIRING}

    def state_on(self, day: date) -> VersionState:
        """Return where this version is in its life on a day; its last day for assessment is still in (R8.4)."""
        if self.first_assessment_on is not None and day < self.first_assessment_on:
            return VersionState.COMING
        if self.last_assessment_on is None:
            return VersionState.CURRENT
        return VersionState.EXPIRING if day <= self.last_assessment_on else VersionState.DISCONTINUED


@dataclass(frozen=True, slots=True, kw_only=True)
class Qualification:
    """One version of a qualification: its rules as figures. Units are named (code, version) in `exclusions`.

    `core` is the group whose units are all wanted; `minimum` and `maximum` are credits by elective group;
    `level_credits` are the credits wanted at `level` or above. `balance` are the groups whose credits may fill up the
    total beside those that a rule names (empty: every group). It can be begun until `last_enrolment_on` and achieved
    until `last_achievement_on`, both included.
    """

    code: str
    total: int
    version: int = 1
    core: str = "core"
    minimum: Mapping[str, int] = field(default_factory=dict)
    maximum: Mapping[str, int] = field(default_factory=dict)
    level: int = 0
    level_credits: int = 0
    exclusions: tuple[frozenset[UnitKey], ...] = ()
    balance: frozenset[str] = frozenset()
    last_enrolment_on: date | None = None
    last_achievement_on: date | None = None

    def takes(self, unit: Unit) -> bool:
        """Whether the credits of a unit can count toward this qualification."""
        named = {self.core, *self.minimum, *self.maximum, *self.balance}
        return not self.balance or unit.group in named

    def excludes(self, unit: Unit, other: Unit) -> bool:
        """Whether only one of two units counts: versions of one unit, or a listed pair (R8.4)."""
        pair = {unit.key, other.key}
        return unit.code == other.code or any(pair <= excluded for excluded in self.exclusions)


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
    """Credits on a day (R8.5): by unit what counts and what is surplus, the distance on each rule, the award date.

    `chosen` is the version of each unit that counts; `excluded` names for each achieved unit that does not count the
    unit that counts in its place, `outside` those of groups that the qualification does not take. `disputed` are
    counted units that a moderator disagreed with after they were reported: the award is held while there is one,
    and `held_since` is then the day on which all rules first held (R8.8).
    """

    counted: Mapping[str, int]
    surplus: Mapping[str, int]
    chosen: Mapping[str, int]
    total: int
    distances: tuple[Distance, ...]
    core_missing: tuple[str, ...]
    excluded: Mapping[UnitKey, UnitKey]
    outside: tuple[UnitKey, ...]
    disputed: tuple[str, ...] = ()
    awarded_on: date | None = None
    held_since: date | None = None

    @property
    def holds(self) -> bool:
        """Whether every rule of the qualification is met."""
        return not self.core_missing and not any(each.missing for each in self.distances)


def pathway_result(
    facts: Iterable[Fact],
    qualification: Qualification,
    units: Iterable[Unit],
    on: date,
    *,
    enrolled_on: date | None = None,
    left_on: date | None = None,
) -> PathwayResult:
    """Return what the decisions on units made by `on` add up to (R8.2 to R8.6, R8.8).

    `facts` are those that stand: decisions, reports, moderations (`PersonRule.of_units`); others are left out.
    Nobody is awarded a version before the day of enrolment, nor from the day of moving to another one (R8.9), where
    these are known.
    """
    offered = {unit.key: unit for unit in units}
    records = [each for each in unit_records(facts, on) if each.is_counted and _was_open(each, offered)]
    result = _sum(records, qualification, offered, on)
    disputed = {each.decision.unit for each in records if each.is_disputed and result.chosen.get(each.decision.unit)}
    result = replace(result, disputed=tuple(sorted(code for code in disputed if result.counted.get(code))))
    first = _first_day(records, qualification, offered)
    if first is not None and enrolled_on is not None:
        first = max(first, enrolled_on)
    if first is None or first > on or (left_on is not None and first >= left_on):
        return result
    return replace(result, held_since=first) if result.disputed else replace(result, awarded_on=first)


def _was_open(record: UnitRecord, offered: Mapping[UnitKey, Unit]) -> bool:
    unit = offered.get(record.key)
    return unit is not None and unit.is_open_on(record.decision.on)


def _first_day(
    records: Sequence[UnitRecord], qualification: Qualification, offered: Mapping[UnitKey, Unit]
) -> date | None:
    """Return the first decision date on which all rules hold, if the qualification could still be achieved (R8.6)."""
    last = qualification.last_achievement_on
    for day in sorted({each.decision.on for each in records}):
        if last is not None and day > last:
            return None
        if _sum([each for each in records if each.decision.on <= day], qualification, offered, day).holds:
            return day
    return None


def _sum(
    records: Sequence[UnitRecord], qualification: Qualification, offered: Mapping[UnitKey, Unit], on: date
) -> PathwayResult:
    """Return the credits of the best choice among the units achieved."""
    decided_on = {each.key: each.decision.on for each in reversed(records)}
    achieved = [offered[key] for key in decided_on]
    taken = [unit for unit in achieved if qualification.takes(unit)]
    wanted = _core_units(qualification, offered.values(), on)
    chosen = best_choice(taken, qualification, frozenset(wanted))
    return _as_result(chosen, achieved, decided_on, qualification, wanted)


def _core_units(qualification: Qualification, offered: Iterable[Unit], on: date) -> dict[str, Unit]:
    """Return the core units that are wanted, each in the newest version begun by a day, else in its first."""
    found: dict[str, Unit] = {}
    for unit in sorted(offered, key=lambda each: (each.state_on(on) is not VersionState.COMING, each.version)):
        if unit.group == qualification.core:
            found[unit.code] = unit
    return found


@dataclass(frozen=True, slots=True)
class _Choice:
    """Some units that may count together, with their credits by group, those at the level asked, and the core."""

    units: tuple[Unit, ...] = ()
    by_group: Mapping[str, int] = field(default_factory=dict)
    at_level: Mapping[str, int] = field(default_factory=dict)
    core: frozenset[str] = frozenset()

    def with_units(self, units: Iterable[Unit], qualification: Qualification, wanted: frozenset[str]) -> "_Choice":
        """Return this choice and more units."""
        by_group, at_level, core = dict(self.by_group), dict(self.at_level), set(self.core)
        more = tuple(units)
        for unit in more:
            by_group[unit.group] = by_group.get(unit.group, 0) + unit.credits
            if unit.level >= qualification.level:
                at_level[unit.group] = at_level.get(unit.group, 0) + unit.credits
            if unit.group == qualification.core and unit.code in wanted:
                core.add(unit.code)
        return _Choice((*self.units, *more), by_group, at_level, frozenset(core))

    def is_at_least(self, other: "_Choice") -> bool:
        """Whether nothing that a rule asks for is less here than in the other."""
        return (
            self.core >= other.core
            and all(self.by_group.get(group, 0) >= given for group, given in other.by_group.items())
            and all(self.at_level.get(group, 0) >= given for group, given in other.at_level.items())
        )


def best_choice(achieved: Iterable[Unit], qualification: Qualification, wanted: frozenset[str]) -> tuple[Unit, ...]:
    """Return the units that count: of those that exclude each other the ones by which the person stands best (R8.4).

    Best is: all rules met; else the fewest core units (`wanted`) missing, then the most credits counted, then the
    fewest credits missing over the rules, then the most credits at the level asked. Exact: units that bear on each
    other are tried in every combination, and of what they give only what nothing else beats is kept.
    """
    ordered = sorted(achieved, key=lambda each: (-each.credits, each.code, -each.version))
    choices = [_Choice()]
    for cluster in _clusters(ordered, qualification):
        options = list(_allowed(cluster, qualification))
        joined = [choice.with_units(option, qualification, wanted) for choice in choices for option in options]
        choices = _unbeaten(joined)
    return max(choices, key=lambda choice: _worth(choice, qualification, wanted)).units


def _clusters(units: Sequence[Unit], qualification: Qualification) -> list[list[Unit]]:
    """Return the units in clusters: between two of different clusters nothing is excluded."""
    clusters: list[list[Unit]] = []
    for unit in units:
        touched = [each for each in clusters if any(qualification.excludes(unit, other) for other in each)]
        merged = [*(other for each in touched for other in each), unit]
        clusters = [each for each in clusters if each not in touched] + [merged]
    return clusters


def _allowed(cluster: Sequence[Unit], qualification: Qualification) -> Iterable[tuple[Unit, ...]]:
    """Yield every set of units of a cluster that exclude none of each other, the fullest first."""
    if not cluster:
        yield ()
        return
    first, rest = cluster[0], cluster[1:]
    free = [unit for unit in rest if not qualification.excludes(first, unit)]
    yield from ((first, *others) for others in _allowed(free, qualification))
    if len(free) < len(rest):
        yield from _allowed(rest, qualification)


def _unbeaten(choices: Iterable[_Choice]) -> list[_Choice]:
    """Return the choices than which no other is at least as good; of equals the first."""
    kept: list[_Choice] = []
    for choice in choices:
        if not any(other.is_at_least(choice) for other in kept):
            kept = [other for other in kept if not choice.is_at_least(other)]
            kept.append(choice)
    return kept


def _worth(choice: _Choice, qualification: Qualification, wanted: frozenset[str]) -> tuple[bool, int, int, int, int]:
    most = qualification.maximum
    by_group = {group: min(given, most.get(group, given)) for group, given in choice.by_group.items()}
    at_level = sum(min(given, most.get(group, given)) for group, given in choice.at_level.items())
    total = sum(by_group.values())
    missing = [max(0, asked - by_group.get(group, 0)) for group, asked in qualification.minimum.items()]
    missing += [max(0, qualification.level_credits - at_level), max(0, qualification.total - total)]
    core_missing = len(wanted - choice.core)
    return not core_missing and not any(missing), -core_missing, total, -sum(missing), at_level


def _as_result(
    chosen: Sequence[Unit],
    achieved: Sequence[Unit],
    decided_on: Mapping[UnitKey, date],
    qualification: Qualification,
    wanted: Mapping[str, Unit],
) -> PathwayResult:
    counted, surplus = _capped(chosen, decided_on, qualification)
    return PathwayResult(
        counted=counted,
        surplus=surplus,
        chosen={unit.code: unit.version for unit in chosen},
        total=sum(counted.values()),
        distances=_distances(chosen, counted, qualification, wanted),
        core_missing=tuple(sorted(wanted.keys() - {unit.code for unit in chosen if unit.group == qualification.core})),
        excluded={
            unit.key: next(other.key for other in chosen if qualification.excludes(unit, other))
            for unit in achieved
            if unit not in chosen and qualification.takes(unit)
        },
        outside=tuple(sorted(unit.key for unit in achieved if not qualification.takes(unit))),
    )


def _capped(
    chosen: Iterable[Unit], decided_on: Mapping[UnitKey, date], qualification: Qualification
) -> tuple[dict[str, int], dict[str, int]]:
    """Return credits counted and surplus by unit: a group is cut to its maximum credit by credit (R8.5).

    Units at the level asked are counted first, so that the cut takes nothing from the level minimum in vain; among
    those, and among the rest, what was decided last is cut.
    """
    left = dict(qualification.maximum)
    counted: dict[str, int] = {}
    surplus: dict[str, int] = {}
    for unit in sorted(chosen, key=lambda each: (each.level < qualification.level, decided_on[each.key], each.code)):
        counted[unit.code] = min(unit.credits, left.get(unit.group, unit.credits))
        if unit.group in left:
            left[unit.group] -= counted[unit.code]
        if counted[unit.code] < unit.credits:
            surplus[unit.code] = unit.credits - counted[unit.code]
    return counted, surplus


def _distances(
    chosen: Sequence[Unit], counted: Mapping[str, int], qualification: Qualification, wanted: Mapping[str, Unit]
) -> tuple[Distance, ...]:
    """Return the distance on each rule: core, each group's minimum, level, total (R8.5)."""
    by_group: dict[str, int] = {}
    for unit in chosen:
        by_group[unit.group] = by_group.get(unit.group, 0) + counted[unit.code]
    at_level = sum(counted[unit.code] for unit in chosen if unit.level >= qualification.level)
    # A core unit held in another version than the newest is asked at its own credits: it is achieved, not short.
    core = {**wanted, **{unit.code: unit for unit in chosen if unit.group == qualification.core}}
    return (
        Distance(
            rule=qualification.core,
            asked=sum(unit.credits for unit in core.values()),
            reached=by_group.get(qualification.core, 0),
        ),
        *(
            Distance(rule=group, asked=asked, reached=by_group.get(group, 0))
            for group, asked in qualification.minimum.items()
        ),
        Distance(rule="level", asked=qualification.level_credits, reached=at_level),
        Distance(rule="total", asked=qualification.total, reached=sum(counted.values())),
    )
