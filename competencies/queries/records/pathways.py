"""The pathways of a record: units achieved, in part and outstanding, and the distance on each rule in credits."""

from collections.abc import Iterable, Sequence
from datetime import date

from competencies.models import Enrolment, Person, UnitStandard
from competencies.queries.pathways import (
    Followed,
    PathwayProgress,
    UnitProgress,
    current_enrolments,
    progress_on,
    qualification_rule,
)
from competencies.queries.records.parts import PathwayLine, UnitLine
from competencies.queries.records.sources import Sources
from competencies.standing.credits import Unit, VersionState
from competencies.standing.rule import PersonRule
from competencies.standing.unit_evidence import CALCULATION


def pathway_lines(
    sources: Sources, person: Person, rule: PersonRule, enrolments: Sequence[Enrolment], on: date
) -> tuple[PathwayLine, ...]:
    """Return the versions of pathways the person was on by the end of the day, in order of enrolment."""
    rows = [row for row in enrolments if row.enrolled_on <= on]
    later = current_enrolments(rows)
    found = (Followed(person, row.qualification, row.enrolled_on, later[row.pk]) for row in rows)
    return tuple(_pathway_line(sources, progress_on(each, rule, sources.units, on)) for each in found)


def _pathway_line(sources: Sources, progress: PathwayProgress) -> PathwayLine:
    pathway, result = progress.qualification, progress.result
    asked = qualification_rule(pathway)
    units = [
        _unit_line(sources, each)
        for each in progress.units
        if each.record is not None or each.state is not VersionState.COMING
    ]
    return PathwayLine(
        code=pathway.code,
        version=pathway.version,
        title=pathway.title,
        core=asked.core,
        level=asked.level,
        enrolled_on=progress.enrolled_on,
        left_on=progress.moved_to.enrolled_on if progress.moved_to else None,
        total=result.total,
        asked=asked.total,
        surplus=sum(result.surplus.values()),
        distances=result.distances,
        core_missing=result.core_missing,
        awarded_on=result.awarded_on,
        held_since=result.held_since,
        disputed=result.disputed,
        units=tuple(_newest_open(units)),
    )


def _unit_line(sources: Sources, progress: UnitProgress) -> UnitLine:
    unit, record = progress.unit, progress.record
    return UnitLine(
        code=unit.code,
        version=unit.version,
        title=progress.title,
        level=unit.level,
        credits=unit.credits,
        group=unit.group,
        missing={
            number: tuple(code for code, seqs in items.items() if not seqs)
            for number, items in progress.evidence.items()
        },
        decided_on=progress.decided_on,
        is_from_elsewhere=bool(record and record.decision.elsewhere),
        signed=sources.signed(record.decision.seq) if record else None,
        counted=progress.counted,
        surplus=progress.surplus,
        reported_on=record.report.on if record and record.report else None,
        is_disputed=bool(record and record.is_disputed),
        is_refused=bool(record and not record.is_counted),
        instead=progress.instead,
        flags=progress.flags,
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
