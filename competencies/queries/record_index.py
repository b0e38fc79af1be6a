"""The list of people whose records may be printed: pathway, credits, when last printed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Max, QuerySet

from competencies.models import Crew, Person, Plant, PrintedSheet, Qualification
from competencies.queries.pathways import PathwayProgress, pathways_of


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordRow:
    """A person with the pathways they are on and the moment of the last print (None: never)."""

    person: Person
    pathways: Sequence[PathwayProgress]
    printed_at: datetime | None


def people_with_records(
    plant: Plant, *, on: date, crew: Crew | None = None, pathway: Qualification | None = None
) -> QuerySet[Person]:
    """Return the people employed on a day, by name; of one crew and one pathway where these are given."""
    people = Person.objects.filter(plant=plant).employed(on).select_related("plant", "crew", "area")
    if crew is not None:
        people = people.filter(crew=crew)
    if pathway is not None:
        people = people.filter(enrolments__qualification=pathway)
    return people.order_by("name", "works_number")


def record_rows(people: Sequence[Person], *, on: date) -> list[RecordRow]:
    """Return a row for each person, in the order given. A fixed number of queries."""
    numbers = [person.pk for person in people]
    printed = dict(
        PrintedSheet.objects.filter(person__in=numbers).values_list("person").annotate(last=Max("printed_at"))
    )
    pathways: dict[int, list[PathwayProgress]] = {number: [] for number in numbers}
    for progress in pathways_of(people, on=on):
        pathways[progress.person.pk].append(progress)
    return [
        RecordRow(person=person, pathways=pathways[person.pk], printed_at=printed.get(person.pk)) for person in people
    ]
