"""A syllabus as the text of a file: what `syllabus_file` reads back to the same rows. Pure."""

from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

import yaml

from competencies.importing.fields import NEVER
from competencies.importing.syllabus import (
    CriterionRow,
    LineRow,
    ProcedureRow,
    QualificationRow,
    ReadingRow,
    SyllabusFile,
    TaskRow,
    TermsRow,
    UnitRow,
)

USUAL_PROBLEMS = (5, 4)


class _Dumper(yaml.SafeDumper):
    """Writes numbers as they stand and never an alias."""

    def ignore_aliases(self, data: object) -> bool:
        """Return that everything is written out."""
        return True


def _number(dumper: yaml.SafeDumper, value: Decimal) -> yaml.ScalarNode:
    text = f"{value.normalize():f}"
    return dumper.represent_scalar(f"tag:yaml.org,2002:{'float' if '.' in text else 'int'}", text)


_Dumper.add_representer(Decimal, _number)


def write_syllabus(syllabus: SyllabusFile) -> str:
    """Return the text of a file that reads back as `syllabus`; what is the usual value is left out."""
    sections: dict[str, list[Any]] = {
        "areas": [{"code": area.code, "title": area.title} for area in syllabus.areas],
        "lines": [_line(line) for line in syllabus.lines],
        "calculations": list(syllabus.calculations),
        "tasks": [_task(task) for task in syllabus.tasks],
        "units": [_unit(unit) for unit in syllabus.units],
        "qualifications": [_qualification(row) for row in syllabus.qualifications],
    }
    filled = {name: rows for name, rows in sections.items() if rows}
    return yaml.dump(filled or {"tasks": []}, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)


def _filled(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values without those that say nothing."""
    return {name: value for name, value in values.items() if value not in (None, "", [], {}, False)}


def _line(line: LineRow) -> dict[str, Any]:
    machines = [{"code": machine.code, "title": machine.title} for machine in line.machines]
    return _filled({"code": line.code, "title": line.title, "machines": machines})


def _task(task: TaskRow) -> dict[str, Any]:
    usual = TaskRow(code="", title="", area="")
    about: dict[str, Any] = {"code": task.code, "title": task.title, "area": task.area, "level": task.level}
    if task.scope != usual.scope:
        about["scope"] = task.scope.value
    if task.places:
        about["places"] = sorted(task.places)
    if task.critical != usual.critical:
        about["critical"] = task.critical.value
    if not task.recognisable:
        about["recognisable"] = False
    return {**about, **_terms(task.terms), **_procedure(task.procedure)}


def _terms(terms: TermsRow) -> dict[str, Any]:
    usual = TermsRow()
    found: dict[str, Any] = {"runs": terms.runs, "distinct_shifts": terms.distinct_shifts}
    found["validity_months"] = NEVER if terms.validity_months is None else terms.validity_months
    if terms.simulated_max != usual.simulated_max:
        found["simulated_max"] = terms.simulated_max
    if terms.young_worker != usual.young_worker:
        found["young_worker"] = terms.young_worker.value
    for name in ("min_age", "grace_days", "recency_days"):
        if getattr(terms, name) is not None:
            found[name] = getattr(terms, name)
    lists = {
        "range": dict(terms.ranges),
        "prerequisites": sorted(_prerequisites(terms)),
        "refreshes": sorted(terms.refreshes),
        "calculations": [_calculation(asked.code, asked.problems, asked.pass_mark) for asked in terms.calculations],
    }
    return {**found, **_filled(lists)}


def _prerequisites(terms: TermsRow) -> Iterator[str]:
    for code in terms.prerequisites:
        places = terms.prerequisite_places.get(code)
        yield from (f"{code}@{place}" for place in places) if places else (code,)


def _calculation(code: str, problems: int, pass_mark: int) -> str | dict[str, Any]:
    if (problems, pass_mark) == USUAL_PROBLEMS:
        return code
    return {"code": code, "problems": problems, "pass_mark": pass_mark}


def _procedure(procedure: ProcedureRow) -> dict[str, Any]:
    critical = [number for number, criterion in enumerate(procedure.criteria, start=1) if criterion.is_critical]
    return _filled(
        {
            "hazards": list(procedure.hazards),
            "ppe": list(procedure.protective_equipment),
            "criteria": [_criterion(criterion) for criterion in procedure.criteria],
            "critical_criteria": critical,
            "readings": [_reading(reading) for reading in procedure.readings],
            "evidence": procedure.evidence,
        }
    )


def _criterion(criterion: CriterionRow) -> str | dict[str, Any]:
    if criterion.is_scope_specific:
        return {"text": criterion.text, "differs_by_machine": True}
    return criterion.text


def _reading(reading: ReadingRow) -> dict[str, Any]:
    numbers = {name: getattr(reading, name) for name in ("low", "high", "paired_tolerance")}
    kept = {name: value for name, value in numbers.items() if value is not None}
    target = {"target": reading.target if reading.target is not None else reading.target_text}
    words = _filled({"name": reading.name, "unit": reading.unit})
    return {**words, **{k: v for k, v in target.items() if v != ""}, **kept, **_filled({"source": reading.source})}


def _unit(unit: UnitRow) -> dict[str, Any]:
    days = {
        "first_date_for_assessment": unit.first_date_for_assessment,
        "last_date_for_assessment": unit.last_date_for_assessment,
    }
    return {
        "code": unit.code,
        "version": unit.version,
        "title": unit.title,
        "level": unit.level,
        "credits": unit.credits,
        "group": unit.group,
        **_known_days(days),
        **({"min_age": unit.min_age} if unit.min_age is not None else {}),
        "outcomes": {number: list(items) for number, items in enumerate(unit.outcomes, start=1)},
    }


def _qualification(row: QualificationRow) -> dict[str, Any]:
    return {
        "code": row.code,
        "version": row.version,
        "title": row.title,
        "min_total_credits": row.min_total_credits,
        "rules": [dict(rule) for rule in row.rules],
        **({"exclusions": [list(pair) for pair in row.exclusions]} if row.exclusions else {}),
        **_known_days(
            {"last_date_to_enrol": row.last_date_to_enrol, "last_date_to_achieve": row.last_date_to_achieve}
        ),
    }


def _known_days(days: Mapping[str, date | None]) -> dict[str, date]:
    return {key: day for key, day in days.items() if day is not None}
