"""The place itself, from the files in seed_fixtures: plant, shifts, crews, syllabus, pathway, stations."""

from collections.abc import Mapping
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import yaml
from django.conf import settings

from competencies.importing.people import KnownPlant
from competencies.importing.syllabus import NO_SYLLABUS, SyllabusFile
from competencies.importing.syllabus_file import read_syllabus_bytes
from competencies.models import Crew, Line, Machine, Plant, Shift, Station, Task
from competencies.operations.cover_rules import Declaration, declare_cover_rule
from competencies.operations.framework import PolicyChange, set_policy
from competencies.operations.pins import Signer
from competencies.operations.syllabus import SyllabusDecision, import_syllabus
from competencies.queries.syllabus import current_syllabus
from competencies.vocabulary import CoverRuleKind

FIXTURES = Path(settings.BASE_DIR) / "seed_fixtures"
SYLLABUS_FILES = ("syllabus.yaml", "pathway.yaml")
# The procedures were there before the record was begun.
PROCEDURES_OLD = timedelta(days=300)


def plant_file() -> Mapping[str, Any]:
    """Return what plant.yaml says."""
    content: Mapping[str, Any] = yaml.safe_load((FIXTURES / "plant.yaml").read_text(encoding="utf-8"))
    return content


def make_plant(content: Mapping[str, Any]) -> Plant:
    """Return the plant with its shifts and crews."""
    plant = Plant.objects.create(**content["plant"])
    for shift in content["shifts"]:
        times = {name: time.fromisoformat(shift[name]) for name in ("starts", "ends")}
        Shift.objects.create(plant=plant, name=shift["name"], title=shift["title"], **times)
    for crew in content["crews"]:
        Crew.objects.create(plant=plant, code=crew["code"], title=crew["title"])
    return plant


def make_stations(plant: Plant, content: Mapping[str, Any]) -> None:
    """Set what must be manned on each line; lines and tasks stand already."""
    lines = {line.code: line for line in Line.objects.filter(plant=plant)}
    tasks = {task.code: task for task in Task.objects.filter(plant=plant)}
    machines = {
        (machine.line.code, machine.code): machine
        for machine in Machine.objects.filter(line__plant=plant).select_related("line")
    }
    Station.objects.bulk_create(
        Station(
            line=lines[row["line"]],
            task=tasks[row["task"]],
            machine=machines[row["line"], row["machine"]] if "machine" in row else None,
            needed=row.get("needed", 1),
        )
        for row in content["stations"]
    )


def declare_cover_rules(plant: Plant, content: Mapping[str, Any], by: Signer, now: datetime) -> None:
    """Declare which stations go together, which ask for different people, where relief is asked for."""
    stations = {
        (station.line.code, station.task.code): station
        for station in Station.objects.filter(line__plant=plant).select_related("line", "task").order_by("pk")
    }
    for row in content["combinable"]:
        first, second = (stations[row["line"], code] for code in row["tasks"])
        told = Declaration(line=first.line, kind=CoverRuleKind.COMBINABLE, first=first, second=second)
        declare_cover_rule(told=told, by=by.person, now=now)
    for row in content["groups"]:
        for code, role in row["parts"].items():
            part = stations[row["line"], code]
            told = Declaration(line=part.line, kind=CoverRuleKind.GROUP, first=part, group=row["group"], role=role)
            declare_cover_rule(told=told, by=by.person, now=now)
    for line in Line.objects.filter(plant=plant, code__in=content["relief"]):
        declare_cover_rule(told=Declaration(line=line, kind=CoverRuleKind.RELIEF), by=by.person, now=now)


def known_before(content: Mapping[str, Any]) -> KnownPlant:
    """Return the crews and areas of the files: what a list of people names, before anything is in the database."""
    syllabus = _read_syllabus(SYLLABUS_FILES[0], NO_SYLLABUS)
    return KnownPlant(
        crews=frozenset(crew["code"] for crew in content["crews"]),
        areas=frozenset(area.code for area in syllabus.areas),
    )


def _read_syllabus(name: str, current: SyllabusFile) -> SyllabusFile:
    return read_syllabus_bytes((FIXTURES / name).read_bytes(), name, current=current)


def take_syllabus(plant: Plant, by: Signer, on: date, now: datetime) -> None:
    """Take the tasks and the pathway from their files, in force since before the record was begun."""
    for name in SYLLABUS_FILES:
        file = _read_syllabus(name, current_syllabus(plant))
        decision = SyllabusDecision(file=file, effective_on=on - PROCEDURES_OLD)
        import_syllabus(plant=plant, decision=decision, by=by, now=now)


def take_policy(plant: Plant, by: Signer, on: date, now: datetime) -> None:
    """Settle what differs from the trade's usual figures: no log is kept of every performance, so none goes stale.

    Typed texts and the names of leavers go sooner than usual, so that some are due after a year and a half.
    """
    settings = {"recency_days": None, "evidence_months": 17, "record_after_leaving_months": 12}
    change = PolicyChange(effective_on=on - PROCEDURES_OLD, settings=settings)
    set_policy(plant=plant, change=change, signer=by, now=now)
