"""The people of the demo plant, from people.csv: their days are moved along with the day of loading."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from random import Random

from competencies.demo.plant import FIXTURES
from competencies.importing.people import KnownPlant, PersonRow
from competencies.importing.people_file import read_people
from competencies.models import Person, Plant
from competencies.operations.people import import_people
from competencies.operations.pins import Signer
from competencies.operations.rights import record_employment

# The day on which the days in people.csv are right.
FILE_DAY = date(2026, 11, 25)
FIRST_COORDINATOR = "1001"


class DemoError(Exception):
    """The fixtures cannot be loaded; the message says why."""


def people_rows(known: KnownPlant, today: date) -> list[PersonRow]:
    """Return the people of the file with every day moved, so that they fit the day of loading. Raises DemoError."""
    content = (FIXTURES / "people.csv").read_bytes()
    file = read_people(content, on=FILE_DAY, known=known)
    if file.faults:
        message = f"people.csv: {file.faults[0]}"
        raise DemoError(message)
    moved = today - FILE_DAY
    return [
        replace(
            row,
            started_on=row.started_on + moved if row.started_on else None,
            restricted_until=row.restricted_until + moved if row.restricted_until else None,
        )
        for row in file.rows
    ]


def numbers_from(seed: str) -> Callable[[], int]:
    """Return a maker of person numbers that gives the same ones for the same seed."""
    chance = Random(seed)  # noqa: S311 - invented people; the numbers keep no secret
    return lambda: chance.randrange(10**11, 10**12)


def make_first_coordinator(plant: Plant, rows: list[PersonRow], number: int) -> Person:
    """Return the person who enters everybody else: somebody has to be there first."""
    row = next(row for row in rows if row.works_number == FIRST_COORDINATOR)
    if row.started_on is None:
        message = "people.csv: the first coordinator has no first working day"
        raise DemoError(message)
    return Person.objects.create(
        id=number, plant=plant, works_number=row.works_number, name=row.name, started_on=row.started_on
    )


def hire(plant: Plant, rows: list[PersonRow], by: Signer, now: datetime, new_number: Callable[[], int]) -> None:
    """Take people the way the office does, through the import of a list."""
    import_people(plant=plant, rows=rows, by=by, now=now, new_number=new_number)


def leave(person: Person, last_day: date, by: Signer, now: datetime, on: date) -> None:
    """Record somebody's last working day."""
    person.last_day = last_day
    person.save(update_fields=["last_day"])
    record_employment(person=person, by=by, happened_at=now, on=on, now=now)
