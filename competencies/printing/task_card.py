"""The task card: one sheet for the floor, hazards first, with boxes to tick and room to write."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from competencies.models import Criterion, Machine, Person, Reading, Task, TaskCalculation
from competencies.operations.paper import Statement
from competencies.printing.qr import qr_data_uri
from competencies.printing.sheets import Sheet
from competencies.queries.tasks import task_page
from competencies.vocabulary import Criticality, SheetKind


class NoProcedureError(Exception):
    """The task has no revision in force on the day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardAsked:
    """The task at a place, for whom (None: the name is written by hand), and the address that its code leads to."""

    task: Task
    machine: Machine | None
    person: Person | None
    address: str


def task_card(asked: CardAsked, *, on: date, now: datetime) -> Sheet:
    """Return the card of a task as its procedure reads on a day. Raises NoProcedureError. Fixed queries."""
    page = task_page(asked.task, moment=now, on=on)
    if page.current is None:
        raise NoProcedureError(asked.task.code)
    criteria: Sequence[Criterion] = sorted(page.current.criteria.all(), key=lambda each: each.number)
    readings: Sequence[Reading] = sorted(page.current.readings.all(), key=lambda each: each.number)
    context: dict[str, Any] = {
        "asked": asked,
        "revision": page.current,
        "coming": page.coming,
        "terms": page.terms,
        "criteria": criteria,
        "readings": readings,
        "calculations": _calculations(asked.task, on),
        "is_critical": Criticality(asked.task.criticality).is_critical,
        "task_qr": qr_data_uri(asked.address),
    }
    lines = (
        f"task {asked.task.code} revision {page.current.number}",
        f"machine {asked.machine.line.code}/{asked.machine.code}" if asked.machine else "machine",
        *(f"hazard {each}" for each in page.current.hazards),
        *(f"wear {each}" for each in page.current.protective_equipment),
        *(f"criterion {each.number} {each.is_critical} {each.text}" for each in criteria),
        *(f"reading {each.number} {each.name} {each.low} {each.target} {each.high} {each.unit}" for each in readings),
    )
    statement = Statement(kind=SheetKind.TASK_CARD, as_of=on, lines=lines, task=asked.task)
    return Sheet(plant=asked.task.plant, statement=statement, context=context)


def _calculations(task: Task, on: date) -> list[TaskCalculation]:
    """Return the calculations that the task asks for on a day."""
    terms = task.terms.filter(effective_on__lte=on).order_by("-effective_on", "-recorded_at").first()
    return list(terms.calculations.order_by("calculation")) if terms else []
