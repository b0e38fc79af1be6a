"""The pathways of a record: units achieved, in part and outstanding, and the distance on each rule in credits."""

from collections.abc import Iterable, Sequence
from datetime import date

from competencies.models import Enrolment, UnitStandard
from competencies.queries.pathways import qualification_rule
from competencies.queries.records.parts import PathwayLine, UnitLine
from competencies.queries.records.sources import Sources
from competencies.standing.credits import PathwayResult, Unit, pathway_result
from competencies.standing.facts import UnitDecision
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import CALCULATION, outcome_gaps


def pathway_lines(
    sources: Sources, rule: PersonRule, decisions: Sequence[UnitDecision], enrolments: Iterable[Enrolment], on: date
) -> tuple[PathwayLine, ...]:
    """Return the pathways the person was on by the end of the day, in order of enrolment."""
    return tuple(_pathway_line(sources, rule, decisions, row, on) for row in enrolments if row.enrolled_on <= on)


def _pathway_line(
    sources: Sources, rule: PersonRule, decisions: Sequence[UnitDecision], row: Enrolment, on: date
) -> PathwayLine:
    pathway = row.qualification
    asked = qualification_rule(pathway)
    result = pathway_result(decisions, asked, [unit for _, unit in sources.units], on)
    decided = {(each.unit, each.version): each for each in decisions if each.on <= on}
    units = [
        _unit_line(sources, rule, offered, decided.get((offered[1].code, offered[1].version)), result, on)
        for offered in sources.units
        if (offered[1].code, offered[1].version) in decided or offered[1].is_open_on(on)
    ]
    return PathwayLine(
        code=pathway.code,
        version=pathway.version,
        title=pathway.title,
        core=asked.core,
        level=asked.level,
        enrolled_on=row.enrolled_on,
        total=result.total,
        asked=asked.total,
        surplus=sum(result.surplus.values()),
        distances=result.distances,
        core_missing=result.core_missing,
        awarded_on=result.awarded_on,
        units=tuple(_newest_open(units)),
    )


def _unit_line(
    sources: Sources,
    rule: PersonRule,
    offered: tuple[UnitStandard, Unit],
    decision: UnitDecision | None,
    result: PathwayResult,
    on: date,
) -> UnitLine:
    standard, unit = offered
    return UnitLine(
        code=unit.code,
        version=unit.version,
        title=standard.title,
        level=unit.level,
        credits=unit.credits,
        group=unit.group,
        missing=outcome_gaps(unit, rule, decision.on if decision else on),
        decided_on=decision.on if decision else None,
        is_from_elsewhere=bool(decision and decision.elsewhere),
        signed=sources.signed(decision.seq) if decision else None,
        counted=result.counted.get(unit.code, 0) if decision else 0,
        surplus=result.surplus.get(unit.code, 0) if decision else 0,
    )


def _newest_open(units: Iterable[UnitLine]) -> Iterable[UnitLine]:
    """Yield the units decided, and of the others the newest version only."""
    rows = list(units)
    newest = {unit.code: unit.version for unit in sorted(rows, key=lambda unit: unit.version)}
    decided = {unit.code for unit in rows if unit.decided_on}
    for unit in rows:
        if unit.decided_on or (unit.code not in decided and newest[unit.code] == unit.version):
            yield unit


def needed_tasks(pathways: Iterable[PathwayLine], units: Iterable[tuple[UnitStandard, Unit]]) -> frozenset[str]:
    """Return the tasks that the pathways still ask for: those of core units and of units begun, until decided."""
    outcomes = {(unit.code, unit.version): unit.outcomes for _, unit in units}
    wanted = [
        (unit.code, unit.version)
        for pathway in pathways
        for unit in pathway.units
        if unit.decided_on is None and (unit.group == pathway.core or unit.is_in_part)
    ]
    items = (code for key in wanted for listed in outcomes[key].values() for code in listed)
    return frozenset(code for code in items if not code.startswith(CALCULATION))
