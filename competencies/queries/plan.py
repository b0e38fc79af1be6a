"""What a roster or absences out of a file are read against."""

from collections import defaultdict
from datetime import date

from competencies.importing.plan import KnownPerson, KnownPlan
from competencies.models import Absence, Line, Person, Plant, Shift


def known_plan(plant: Plant) -> KnownPlan:
    """Return the people with their absences, the shifts and the lines of a plant. Four queries."""
    away: dict[int, list[tuple[date, date]]] = defaultdict(list)
    for person, first, last in Absence.objects.filter(person__plant=plant).values_list(
        "person", "from_on", "until_on"
    ):
        away[person].append((first, last))
    return KnownPlan(
        people={
            person.works_number: KnownPerson(
                name=person.name,
                started_on=person.started_on,
                last_day=person.last_day,
                away=tuple(sorted(away[person.pk])),
            )
            for person in Person.objects.filter(plant=plant).single()
        },
        shifts=frozenset(Shift.objects.filter(plant=plant).values_list("name", flat=True)),
        lines=frozenset(Line.objects.filter(plant=plant).values_list("code", flat=True)),
    )
