"""Reads over several tables: what to practise, what checks there are and what they ask."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max, Q, QuerySet

from assessments.calculations import calculations, for_framework_code
from assessments.calculations.frame import Calculation
from assessments.models import CheckSitting, PracticeAttempt
from assessments.vocabulary import Family, Verdict
from competencies.models import Assignment, Person, Plant, TaskCalculation, TaskTerms
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


@dataclass(frozen=True, slots=True)
class CheckAsked:
    """What a check of one calculation asks: the strictest of the terms in force that name it."""

    calculation: str
    title: str
    problems: int
    pass_mark: int
    tasks: tuple[str, ...]


def practice_list(person: Person, *, on: date) -> PracticeList:
    """Return what the person can practise. Five queries, however many calculations there are."""
    tally = _tally(person)
    tasks_by_code = _coming_tasks(person, on=on)
    entries = tuple(
        Practised(
            calculation=kind,
            tried=tally.get(code, (0, 0))[0],
            right=tally.get(code, (0, 0))[1],
            tasks=tasks_by_code.get(kind.framework_code, ()),
        )
        for code, kind in calculations().items()
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
    for item in _asked_for(person.plant, on=on):
        if item.terms.task.code in codes:
            found[item.calculation] = (*found.get(item.calculation, ()), item.terms.task.code)
    return found


def _asked_for(plant: Plant, *, on: date) -> list[TaskCalculation]:
    """Return what the terms in force of each task ask for, by task. Two queries."""
    newest = (
        TaskTerms.objects.filter(task__plant=plant, effective_on__lte=on)
        .values("task")
        .annotate(effective_on=Max("effective_on"))
        .values_list("task", "effective_on")
    )
    in_force = dict(newest)
    rows = (
        TaskCalculation.objects.filter(terms__task__plant=plant, terms__effective_on__lte=on)
        .select_related("terms__task")
        .order_by("terms__task__code", "calculation", "terms__recorded_at")
    )
    # Terms recorded again for the same day take the place of the earlier ones.
    latest = {row.terms.task_id: row.terms_id for row in rows if row.terms.effective_on == in_force[row.terms.task_id]}
    return [row for row in rows if latest.get(row.terms.task_id) == row.terms_id]


def checks_asked(plant: Plant, *, on: date) -> list[CheckAsked]:
    """Return every calculation that the plant's tasks ask for, with what a check of it asks. Two queries."""
    by_code: dict[str, list[TaskCalculation]] = {}
    for item in _asked_for(plant, on=on):
        by_code.setdefault(item.calculation, []).append(item)
    return [_check_asked(code, items) for code, items in sorted(by_code.items()) if for_framework_code(code)]


def _check_asked(code: str, items: Sequence[TaskCalculation]) -> CheckAsked:
    problems = max(item.problems for item in items)
    # A longer check keeps at least the share that each task asks for.
    pass_mark = max(-(-item.pass_mark * problems // item.problems) for item in items)
    kinds = for_framework_code(code)
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
