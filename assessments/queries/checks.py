"""What checks there are and what they ask."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, QuerySet

from assessments.calculations.frame import Calculation
from assessments.models import CheckSitting
from assessments.queries.asked import asked_for
from assessments.queries.library import library_of
from competencies.models import Person, Plant, TaskCalculation


@dataclass(frozen=True, slots=True)
class CheckAsked:
    """What a check of one calculation asks: the strictest of the terms in force that name it."""

    calculation: str
    title: str
    problems: int
    pass_mark: int
    tasks: tuple[str, ...]


def checks_asked(plant: Plant, *, on: date) -> list[CheckAsked]:
    """Return every calculation that the plant's tasks ask for, with what a check of it asks. Three queries."""
    by_code: dict[str, list[TaskCalculation]] = {}
    for item in asked_for(plant, on=on):
        by_code.setdefault(item.calculation, []).append(item)
    library = library_of(plant)
    known = ((code, library.asked_by(code), items) for code, items in sorted(by_code.items()))
    return [_check_asked(code, kinds, items) for code, kinds, items in known if kinds]


def _check_asked(code: str, kinds: Sequence[Calculation], items: Sequence[TaskCalculation]) -> CheckAsked:
    problems = max(item.problems for item in items)
    # A longer check keeps at least the share that each task asks for.
    pass_mark = max(-(-item.pass_mark * problems // item.problems) for item in items)
    return CheckAsked(code, kinds[0].title, problems, pass_mark, tuple(item.terms.task.code for item in items))


def sittings_of(plant: Plant) -> QuerySet[CheckSitting]:
    """Return the plant's checks, the newest first, with the people in them."""
    return (
        CheckSitting.objects.filter(plant=plant)
        .select_related("trainee", "opened_by")
        .annotate(answered=Count("answers"))
        .order_by("-opened_at", "-pk")
    )


def waiting_for(person: Person) -> QuerySet[CheckSitting]:
    """Return the open checks that wait for a trainee."""
    return CheckSitting.objects.open().filter(trainee=person).select_related("opened_by").order_by("opened_at")
