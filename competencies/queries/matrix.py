"""The matrix: any cut of people by any cut of tasks, on any day, as known at any moment (R8, R9, R13).

Cells are read from the projected periods, person first, and no date is fetched for them: a page of 200 people by 150
tasks reads some 25,000. A cell speaks of the chosen line, else of every place where the person has begun the task: it
shows the standing furthest from counting, and at how many of the places the person counts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import NamedTuple

from django.db.models import Count, Q, QuerySet

from competencies.models import Area, Authority, Crew, Line, Person, Plant, Qualification, StandingPeriod, Task
from competencies.queries.pathways import enrolments_known, qualification_rule, unit_rules
from competencies.queries.standing import known_rows
from competencies.standing.unit_evidence import CALCULATION
from competencies.vocabulary import ScopeKind, Standing

BEGUN = "begun"
# From what says least about being left alone to what says most; of several places the first of these is shown.
FURTHEST_FIRST: Sequence[Standing] = (
    Standing.WITHDRAWN,
    Standing.SUSPENDED,
    Standing.UNDER_REVIEW,
    Standing.RESTRICTED,
    Standing.LEARNING,
    Standing.READY,
    Standing.AWAITING_SIGNATURE,
    Standing.AWAITING_REVISION,
    Standing.LAPSED,
    Standing.STALE,
    Standing.OUT_OF_REVISION,
    Standing.BLOCKED,
    Standing.IN_GRACE,
    Standing.RENEWAL_DUE,
    Standing.IN_FORCE,
    Standing.NOT_STARTED,
)
DISTANCE: Mapping[str, int] = {standing.value: place for place, standing in enumerate(FURTHEST_FIRST)}


@dataclass(frozen=True, slots=True, kw_only=True)
class AsOf:
    """The two clocks: the day and the minute asked about, and the moment whose knowledge is used (None: all)."""

    on: date
    moment: datetime
    known: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Which people and which tasks are asked for; what is empty narrows nothing.

    `area`, `line`, `pathway` and `codes` narrow the tasks, `text`, `crew`, `role` and `pathway` the people. `holding`
    keeps people who stand somewhere in the cut as it says: a standing, or "begun". `person` and `task` show one row or
    one column, and `alone` then keeps what counts in it.
    """

    area: Area | None = None
    line: Line | None = None
    crew: Crew | None = None
    role: str = ""
    pathway: Qualification | None = None
    codes: tuple[str, ...] = ()
    text: str = ""
    holding: str = ""
    person: Person | None = None
    task: Task | None = None
    alone: bool = False


class Cell(NamedTuple):
    """Where a person stands on a task: the standing shown and its place, and at how many of the places they count."""

    standing: str
    counts: bool
    scope: str
    counting: int = 1
    places: int = 1


EMPTY = Cell(Standing.NOT_STARTED.value, counts=False, scope="", counting=0, places=0)
Cells = Mapping[tuple[int, int], Cell]


def people_of_cut(plant: Plant, cut: Cut, at: AsOf) -> QuerySet[Person]:
    """Return the people of a cut who are employed on the day, by name.

    Crew and name are those of now; authorities and enrolments are those of the day, as known.
    """
    found = _people_asked_for(plant, cut, at)
    if cut.holding:
        found = found.filter(pk__in=_holding(plant, cut, at).values("person"))
    if cut.person:
        found = found.filter(pk=cut.person.pk)
    if cut.alone:
        counting = _periods(cut, at).filter(counts=True, task__in=tasks_of_cut(plant, cut, at).values("pk"))
        found = found.filter(pk__in=counting.values("person"))
    return found.order_by("name", "works_number")


def _people_asked_for(plant: Plant, cut: Cut, at: AsOf) -> QuerySet[Person]:
    found = Person.objects.filter(plant=plant).employed(at.on)
    if cut.text:
        found = found.filter(Q(name__icontains=cut.text) | Q(works_number__icontains=cut.text))
    if cut.crew:
        found = found.filter(crew=cut.crew)
    if cut.role:
        entrusted = Authority.objects.in_force(at.on).filter(kind=cut.role)
        if at.known:
            entrusted = entrusted.filter(recorded_at__lte=at.known)
        found = found.filter(pk__in=entrusted.values("person"))
    if cut.pathway:
        enrolled = enrolments_known(on=at.on, known=at.known).filter(qualification=cut.pathway)
        found = found.filter(pk__in=enrolled.values("person"))
    return found


def tasks_of_cut(plant: Plant, cut: Cut, at: AsOf) -> QuerySet[Task]:
    """Return the tasks of a cut, by area and code."""
    found = _tasks_asked_for(plant, cut, at)
    if cut.task:
        found = found.filter(pk=cut.task.pk)
    if cut.alone and cut.person:
        found = found.filter(pk__in=_periods(cut, at).filter(counts=True, person=cut.person).values("task"))
    return found.select_related("area").order_by("area__title", "code")


def _tasks_asked_for(plant: Plant, cut: Cut, at: AsOf) -> QuerySet[Task]:
    found = Task.objects.filter(plant=plant)
    if cut.area:
        found = found.filter(area=cut.area)
    if cut.line:
        # Manned there, named as a place where it is held, or held anywhere of its kind.
        there = Q(stations__line=cut.line) | Q(places__line=cut.line)
        anywhere = Q(places=None) & ~Q(scope_kind=ScopeKind.SITE)
        found = found.filter(pk__in=Task.objects.filter(there | anywhere, plant=plant).values("pk"))
    if cut.codes:
        found = found.filter(code__in=cut.codes)
    if cut.pathway:
        found = found.filter(code__in=_tasks_of_pathway(plant, cut.pathway))
    return found


def _tasks_of_pathway(plant: Plant, pathway: Qualification) -> set[str]:
    """Return the codes of the tasks that some outcome of a unit of the pathway asks for. Two queries."""
    asked = qualification_rule(pathway)
    items = (
        name
        for _row, unit in unit_rules(plant.pk)
        if asked.takes(unit)
        for names in unit.outcomes.values()
        for name in names
    )
    return {name for name in items if not name.startswith(CALCULATION)}


def _periods(cut: Cut, at: AsOf) -> QuerySet[StandingPeriod]:
    """Return the periods that hold at the moment, as known, at the places of the cut."""
    rows = StandingPeriod.objects.filter(
        known_rows(at.known),
        Q(starts_at=None) | Q(starts_at__lte=at.moment),
        Q(ends_at=None) | Q(ends_at__gt=at.moment),
    )
    if cut.line:
        code = cut.line.code
        rows = rows.filter(Q(scope="") | Q(scope=code) | Q(scope__startswith=f"{code}/"))
    return rows


def _begun(cut: Cut, at: AsOf) -> QuerySet[StandingPeriod]:
    return _periods(cut, at).exclude(standing=Standing.NOT_STARTED)


def _holding(plant: Plant, cut: Cut, at: AsOf) -> QuerySet[StandingPeriod]:
    rows = _begun(cut, at).filter(task__in=_tasks_asked_for(plant, cut, at).values("pk"))
    return rows if cut.holding == BEGUN else rows.filter(standing=cut.holding)


def cells_of(people: Iterable[Person], tasks: Iterable[Task], cut: Cut, at: AsOf) -> Cells:
    """Return where people stand on tasks, by the keys of both; what was never begun is left out. One query."""
    rows = (
        _begun(cut, at)
        .filter(person__in=[person.pk for person in people], task__in=[task.pk for task in tasks])
        .values_list("person_id", "task_id", "scope", "standing", "counts")
    )
    found: dict[tuple[int, int], Cell] = {}
    for person, task, scope, standing, counts in rows:
        cell = _at_one_place(standing, counts, scope)
        other = found.get((person, task))
        found[person, task] = cell if other is None else _together(cell, other)
    return found


@lru_cache(maxsize=4096)
def _at_one_place(standing: str, counts: bool, scope: str) -> Cell:  # noqa: FBT001 - cached by its values
    """Return the cell of one place; thousands of cells are the same few."""
    return Cell(standing, counts, scope, int(counts), 1)


def _together(one: Cell, other: Cell) -> Cell:
    """Return the cell of several places: what is furthest from counting, the first by name of two that are as far."""
    shown = min(one, other, key=lambda cell: (cell.counts, DISTANCE[cell.standing], cell.scope))
    return shown._replace(counting=one.counting + other.counting, places=one.places + other.places)


def counting_by_task(people: QuerySet[Person], tasks: Iterable[Task], cut: Cut, at: AsOf) -> Mapping[int, int]:
    """Return by task how many of the people count for it at some place of the cut. One query for any number."""
    rows = _periods(cut, at).filter(
        counts=True, task__in=[task.pk for task in tasks], person__in=people.order_by().values("pk")
    )
    return dict(rows.values_list("task").annotate(people=Count("person", distinct=True)))


def counting_by_person(people: Iterable[Person], tasks: QuerySet[Task], cut: Cut, at: AsOf) -> Mapping[int, int]:
    """Return by person for how many of the tasks they count at some place of the cut. One query for any number."""
    rows = _periods(cut, at).filter(
        counts=True, person__in=[person.pk for person in people], task__in=tasks.order_by().values("pk")
    )
    return dict(rows.values_list("person").annotate(tasks=Count("task", distinct=True)))
