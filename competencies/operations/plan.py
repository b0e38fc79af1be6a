"""The plan of the floor out of a file: rosters and absences, all of it or nothing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from competencies.importing.plan import AwayRow, RosterRow
from competencies.ledger.writer import writing
from competencies.models import Line, PendingFile, Person, Plant, RosterDay, Shift
from competencies.operations.absences import Away, record_absence
from competencies.operations.imports import throw_away
from competencies.operations.pins import Signer


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterResult:
    """How many rows were new, and how many told of a shift that stood in the roster already."""

    created: int
    updated: int


@transaction.atomic
def take_roster(*, pending: PendingFile, rows: Sequence[RosterRow]) -> RosterResult:
    """Enter the roster of a waiting file and let go of the file; a shift that is there takes what the file says."""
    plant = pending.plant
    people = _people(plant, rows)
    shifts = {shift.name: shift for shift in Shift.objects.filter(plant=plant)}
    lines = {line.code: line for line in Line.objects.filter(plant=plant)}
    days = [
        RosterDay(
            person=people[row.works_number],
            on=row.on,
            shift=shifts[row.shift],
            line=lines[row.line] if row.line else None,
            overtime_minutes=row.overtime_minutes,
        )
        for row in rows
    ]
    before = RosterDay.objects.filter(person__plant=plant).count()
    RosterDay.objects.bulk_create(
        days,
        batch_size=100,
        update_conflicts=True,
        unique_fields=["person", "on", "shift"],
        update_fields=["line", "overtime_minutes"],
    )
    created = RosterDay.objects.filter(person__plant=plant).count() - before
    throw_away(pending=pending)
    return RosterResult(created=created, updated=len(rows) - created)


@writing()
def take_absences(*, pending: PendingFile, rows: Sequence[AwayRow], by: Signer, now: datetime) -> int:
    """Enter the absences of a waiting file and let go of the file; return how many.

    Raises AbsenceError when one cannot stand, and then the file still waits and nothing of it is entered.
    """
    people = _people(pending.plant, rows)
    for row in rows:
        away = Away(from_on=row.from_on, until_on=row.until_on)
        record_absence(person=people[row.works_number], away=away, by=by, now=now)
    throw_away(pending=pending)
    return len(rows)


def _people(plant: Plant, rows: Sequence[RosterRow | AwayRow]) -> dict[str, Person]:
    found = Person.objects.filter(plant=plant, works_number__in={row.works_number for row in rows})
    return {person.works_number: person for person in found.select_related("plant")}
