"""Which worksheets there are, what is on them, and what people's coming tasks ask for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Count, QuerySet

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Calculation
from assessments.generation import Problem, problem_again
from assessments.models import Worksheet, WorksheetCopy
from assessments.queries.asked import asked_for
from assessments.queries.library import Library
from assessments.queries.practice_next import ON_THE_WAY
from competencies.models import Assignment, Person, Plant
from competencies.queries.standing import end_of_day, standings_at


@dataclass(frozen=True, slots=True)
class SetProblem:
    """A problem of a copy as it was set. `problem` is None when its calculation has changed since, or is gone."""

    number: int
    code: str
    givens: Mapping[str, str]
    answer: str
    problem: Problem | None


def worksheets_of(plant: Plant) -> QuerySet[Worksheet]:
    """Return the plant's worksheets, the newest first, each with its number of copies."""
    found = Worksheet.objects.filter(plant=plant).select_related("made_by")
    return found.annotate(copies_made=Count("copies")).order_by("-made_at", "-pk")


def copies_of(worksheet: Worksheet) -> list[WorksheetCopy]:
    """Return the copies in their order, with their people. One query."""
    return list(worksheet.copies.select_related("person").order_by("number"))


def problems_on(copy: WorksheetCopy, library: Library) -> list[SetProblem]:
    """Return the problems of a copy, worked again from their seeds where the calculation is still the same."""
    return [
        SetProblem(number, kept["calculation"], kept["givens"], kept["answer"], _again(kept, library))
        for number, kept in enumerate(copy.problems, start=1)
    ]


def _again(kept: Mapping[str, Any], library: Library) -> Problem | None:
    try:
        kind = library.kind(kept["calculation"])
    except UnknownCalculationError:
        return None
    return problem_again(kind, kept["seed"], stated_givens=kept["givens"], stated_answer=kept["answer"])


def kinds_ahead(people: Sequence[Person], library: Library, *, plant: Plant, on: date) -> list[Calculation]:
    """Return what the coming tasks of these people ask for; with nobody named, what any task of the plant asks for.

    The number of queries does not grow with the people.
    """
    asked = asked_for(plant, on=on)
    codes = {item.calculation for item in asked}
    if people:
        tasks = _coming_tasks(people, plant, on=on)
        codes = {item.calculation for item in asked if item.terms.task.code in tasks}
    return [kind for code in sorted(codes) for kind in library.asked_by(code)]


def _coming_tasks(people: Iterable[Person], plant: Plant, *, on: date) -> set[str]:
    numbers = [person.pk for person in people]
    planned = Assignment.objects.filter(person__in=numbers, on__gte=on, state=Assignment.State.PLANNED)
    standings = standings_at(people=numbers, moment=end_of_day(on, plant))
    on_the_way = {held.task_code for held in standings if held.period.standing in ON_THE_WAY}
    return on_the_way | set(planned.values_list("task__code", flat=True))
