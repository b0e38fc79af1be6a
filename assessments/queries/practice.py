"""What a person can practise."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q

from assessments.calculations.frame import Calculation
from assessments.models import PracticeAttempt
from assessments.queries.asked import asked_for
from assessments.queries.library import library_of
from assessments.vocabulary import Family, Verdict
from competencies.models import Assignment, Person
from competencies.queries.standing import end_of_day, standings_at
from competencies.vocabulary import Standing

ON_THE_WAY = (Standing.LEARNING, Standing.READY, Standing.RENEWAL_DUE, Standing.LAPSED, Standing.OUT_OF_REVISION)


@dataclass(frozen=True, slots=True)
class Practised:
    """A calculation with the person's own tally, and the tasks ahead that ask for it."""

    calculation: Calculation
    tried: int
    right: int
    tasks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PracticeList:
    """What a person can practise: what their coming tasks ask for, then everything by family."""

    coming: tuple[Practised, ...]
    families: tuple[tuple[Family, tuple[Practised, ...]], ...]


def practice_list(person: Person, *, on: date) -> PracticeList:
    """Return what the person can practise. Six queries, however many calculations there are."""
    tally = _tally(person)
    tasks_by_code = _coming_tasks(person, on=on)
    entries = tuple(
        Practised(
            calculation=kind,
            tried=tally.get(code, (0, 0))[0],
            right=tally.get(code, (0, 0))[1],
            tasks=tasks_by_code.get(kind.framework_code, ()),
        )
        for code, kind in library_of(person.plant).current.items()
    )
    families = ((family, tuple(each for each in entries if each.calculation.family is family)) for family in Family)
    return PracticeList(
        coming=tuple(each for each in entries if each.tasks),
        families=tuple((family, members) for family, members in families if members),
    )


def _tally(person: Person) -> dict[str, tuple[int, int]]:
    """Return by calculation how often the person tried it and was right."""
    rows = (
        PracticeAttempt.objects.filter(person=person)
        .values("calculation")
        .annotate(tried=Count("pk"), right=Count("pk", filter=Q(verdict=Verdict.RIGHT.value)))
        .order_by()
    )
    return {row["calculation"]: (row["tried"], row["right"]) for row in rows}


def _coming_tasks(person: Person, *, on: date) -> dict[str, tuple[str, ...]]:
    """Return by calculation the codes of the tasks that the person is asked for or is on the way to."""
    asked = Assignment.objects.filter(person=person, on__gte=on, state=Assignment.State.PLANNED)
    standings = standings_at(people=[person.pk], moment=end_of_day(on, person.plant))
    on_the_way = {held.task_code for held in standings if held.period.standing in ON_THE_WAY}
    codes = on_the_way | set(asked.values_list("task__code", flat=True))
    found: dict[str, tuple[str, ...]] = {}
    for item in asked_for(person.plant, on=on):
        if item.terms.task.code in codes:
            found[item.calculation] = (*found.get(item.calculation, ()), item.terms.task.code)
    return found
