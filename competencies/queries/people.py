"""The people of a plant as a list, and everything about one of them on a day."""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Q, QuerySet

from competencies.models import Assignment, Authority, Person, Plant, StandingPeriod, Task
from competencies.queries.pathways import PathwayProgress, pathways_of
from competencies.queries.standing import Held, standings_at
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period
from competencies.vocabulary import Standing


def people_found(plant: Plant, asked: Mapping[str, Any], *, on: date, now: datetime) -> QuerySet[Person]:
    """Return the plant's people that a search asks for, by name.

    `asked` may hold text (name or employee number), crew, area, role, standing; `left` shows leavers as well.
    """
    found = Person.objects.filter(plant=plant).single().select_related("crew", "area")
    if not asked.get("left"):
        found = found.filter(Q(last_day=None) | Q(last_day__gte=on))
    if text := asked.get("text"):
        by_text = Q(name__icontains=text) | Q(works_number__icontains=text)
        joined = Person.objects.filter(by_text, plant=plant, joined_into__isnull=False).values("joined_into")
        found = found.filter(by_text | Q(pk__in=joined))
    for name in ("crew", "area"):
        if asked.get(name):
            found = found.filter(**{name: asked[name]})
    if role := asked.get("role"):
        found = found.filter(pk__in=Authority.objects.in_force(on).filter(kind=role).values("person"))
    if standing := asked.get("standing"):
        here = StandingPeriod.objects.filter(
            Q(starts_at=None) | Q(starts_at__lte=now), Q(ends_at=None) | Q(ends_at__gt=now), known_to=None
        )
        found = found.filter(pk__in=here.filter(standing=standing).values("person"))
    return found.order_by("name", "works_number")


def standings_counted(people: Collection[Person], *, now: datetime) -> Mapping[int, Counter[str]]:
    """Return for each person on how many tasks they count, learn, and are out. One query."""
    counted: dict[int, Counter[str]] = defaultdict(Counter)
    for held in standings_at(people=[person.pk for person in people], moment=now):
        if held.period.standing is not Standing.NOT_STARTED:
            counted[held.person_id][_sort(held.period)] += 1
    return counted


def _sort(period: Period) -> str:
    if period.counts:
        return "alone"
    is_learning = period.standing in {Standing.LEARNING, Standing.READY}
    return "learning" if is_learning or period.standing is Standing.AWAITING_SIGNATURE else "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskStanding:
    """A task, and where somebody stands on it."""

    task: Task
    scope: Scope
    period: Period


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonPage:
    """Everything about a person on a day, as known at a moment."""

    areas: Sequence[tuple[str, Sequence[TaskStanding]]]
    pathways: Sequence[PathwayProgress]
    assignments: Sequence[Assignment]
    authorities: Sequence[Authority]


def person_page(person: Person, *, moment: datetime, on: date, known: datetime | None) -> PersonPage:
    """Return the page of a person. Fixed queries."""
    tasks = {row.code: row for row in Task.objects.filter(plant=person.plant_id).select_related("area")}
    held = standings_at(people=[person.pk], moment=moment, known=known)
    authorities = Authority.objects.filter(person=person).select_related("area", "person__plant").order_by("from_on")
    if known is not None:
        authorities = authorities.filter(recorded_at__lte=known)
    return PersonPage(
        areas=_by_area(held, tasks),
        pathways=pathways_of([person], on=on, known=known),
        assignments=list(
            Assignment.objects.filter(person=person, on__gte=on, state=Assignment.State.PLANNED)
            .select_related("task", "shift", "line", "trainer")
            .order_by("on", "shift__starts")[:20]
        ),
        authorities=list(authorities),
    )


def _by_area(held: Sequence[Held], tasks: Mapping[str, Task]) -> list[tuple[str, list[TaskStanding]]]:
    areas: dict[str, list[TaskStanding]] = defaultdict(list)
    for each in held:
        if task := tasks.get(each.task_code):
            areas[task.area.title].append(TaskStanding(task=task, scope=each.scope, period=each.period))
    return sorted(areas.items())
