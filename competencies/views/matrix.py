"""People by tasks: any cut, any day, as known at any moment; the address holds all of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any, Final

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Page, Paginator
from django.http import QueryDict
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from competencies.forms.matrix import SIZES, MatrixFilter
from competencies.middleware import ActorRequest
from competencies.models import Person, Plant, Task
from competencies.permissions import may_see_plant
from competencies.queries.answers import NOTHING_KNOWN, TwoAnswers, answers_that_differ
from competencies.queries.matrix import (
    AsOf,
    Cut,
    cells_of,
    counting_by_person,
    counting_by_task,
    people_of_cut,
    tasks_of_cut,
)
from competencies.queries.saved_views import saved_views_for
from competencies.queries.standing import Held, standings_at
from competencies.standing.timeline import Period
from competencies.views.both_answers import answer_rows
from competencies.views.clocks import CLOCKS, Asked, clocks_asked
from competencies.views.loading import own_plant, person_at_keyboard, person_in, task_in
from competencies.views.matrix_drawing import Pen
from competencies.views.plant_tables import matrix_file
from competencies.views.table_files import file_asked, table_file
from competencies.vocabulary import Standing
from competencies.wording import STANDING_SIGNS

FILTERS: Final = ("area", "line", "crew", "role", "pathway", "tasks", "text", "holding", "size")
NARROWED: Final = ("person", "task", "alone")
PAGES: Final = ("page", "part")
# The rest is on the page of all of them.
VIEWS_SHOWN: Final = 12
NAMES: Final = (*FILTERS, *NARROWED, *PAGES)


@dataclass(frozen=True, slots=True)
class Asking:
    """What the address asks: the plant, the cut and the two clocks."""

    plant: Plant
    cut: Cut
    asked: Asked
    size: tuple[int, int]

    @property
    def at(self) -> AsOf:
        """Return the clocks as the queries take them."""
        return AsOf(on=self.asked.on, moment=self.asked.moment, known=self.asked.known)

    @property
    def clocks(self) -> dict[str, str]:
        """Return what the address says of the clocks, for pages about the same moment."""
        return {name: self.asked.given[name] for name in CLOCKS if name in self.asked.given}

    def pages(self) -> tuple[Page[Person], Page[Task]]:
        """Return the people and the tasks that are shown."""
        people, tasks = people_of_cut(self.plant, self.cut, self.at), tasks_of_cut(self.plant, self.cut, self.at)
        given = self.asked.given
        return (
            Paginator(people.select_related("crew"), self.size[0]).get_page(given.get("page")),
            Paginator(tasks, self.size[1]).get_page(given.get("part")),
        )

    def address(self, **changed: str | None) -> str:
        """Return the address of another cut, at its first page."""
        return self.asked.address(**{**dict.fromkeys(PAGES), **changed})


@login_required
@require_safe
def matrix(request: ActorRequest) -> HttpResponseBase:
    """Show people by tasks; one person or one task as a list."""
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    asked = clocks_asked(request, kept=NAMES)
    form = MatrixFilter({name: asked.given.get(name, "") for name in FILTERS}, plant=plant)
    asking = _asking(request, plant, form, asked)
    if file := file_asked(request):
        return table_file(request, file, matrix_file(plant, asking.cut, asking.at))
    people, tasks = asking.pages()
    differing = _differing(asking, people, tasks)
    named = {person.pk: person for person in people}
    context: dict[str, Any] = {
        "asked": asked,
        "form": form,
        "kept": [(name, asked.given[name]) for name in (*CLOCKS, "person", "task") if name in asked.given],
        "clocks": QueryDict(urlencode(asking.clocks)),
        "cut": asking.cut,
        "title": _title(asking.cut),
        "people": people,
        "tasks": tasks,
        "differing": answer_rows(named, differing, asked),
        "everybody": asking.address(person=None, task=None, alone=None),
        "everything": asking.address(**dict.fromkeys(NARROWED + FILTERS)),
        "earlier_tasks": asked.address(part=str(tasks.number - 1)),
        "later_tasks": asked.address(part=str(tasks.number + 1)),
        "views": saved_views_for(person_at_keyboard(request.actor))[:VIEWS_SHOWN],
        "signs": [(standing.value, sign) for standing, sign in STANDING_SIGNS.items()],
    }
    if people and tasks:
        is_list = asking.cut.person or asking.cut.task
        context |= {"listed": _listed(asking, people, tasks)} if is_list else _grid(asking, people, tasks, differing)
    return render(request, "competencies/matrix.html", context)


def _asking(request: ActorRequest, plant: Plant, form: MatrixFilter, asked: Asked) -> Asking:
    form.is_valid()
    found = form.cleaned_data
    cut = Cut(
        area=found.get("area"),
        line=found.get("line"),
        crew=found.get("crew"),
        pathway=found.get("pathway"),
        role=found.get("role", ""),
        text=found.get("text", ""),
        holding=found.get("holding", ""),
        codes=found.get("tasks") or (),
        person=person_in(plant, request.GET["person"]) if request.GET.get("person") else None,
        task=task_in(plant, request.GET["task"]) if request.GET.get("task") else None,
        alone=bool(request.GET.get("alone")),
    )
    return Asking(plant, cut, asked, SIZES[found.get("size") or ""])


def _title(cut: Cut) -> str:
    """Return what tells this cut from others in a list of pages."""
    named = [cut.person, cut.task and cut.task.code, cut.area, cut.line, cut.crew, cut.pathway]
    return ", ".join([_("Matrix"), *(str(each) for each in named if each)])


def _differing(
    asking: Asking, people: Sequence[Person] | Page[Person], tasks: Page[Task]
) -> Mapping[int, Sequence[TwoAnswers]]:
    """Return by person the answers about the cells shown that are not the same as known then. At most one query."""
    if asking.asked.then >= asking.asked.now:
        return {}
    found = answers_that_differ(
        [person.pk for person in people],
        moment=asking.asked.moment,
        then_at=asking.asked.then,
        tasks=[task.code for task in tasks],
    )
    here = {"", asking.cut.line.code} if asking.cut.line else None
    return {
        number: [each for each in answers if here is None or each.scope.line in here]
        for number, answers in found.items()
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The head of a row or a column: a person or a task, its page, it alone in the matrix, its total, and of whom."""

    thing: Person | Task
    page: str
    alone: str
    total: int
    counted: str
    cells: SafeString | None = None


def _grid(
    asking: Asking, people: Page[Person], tasks: Page[Task], differing: Mapping[int, Sequence[TwoAnswers]]
) -> dict[str, Any]:
    """Return the rows with their cells drawn, and the heads of the columns. Three queries."""
    plant, cut, at, address = asking.plant, asking.cut, asking.at, asking.address
    cells = cells_of(people, tasks, cut, at)
    by_task = counting_by_task(people_of_cut(plant, cut, at), tasks, cut, at)
    by_person = counting_by_person(people, tasks_of_cut(plant, cut, at), cut, at)
    keys = {task.code: task.pk for task in tasks}
    marked = {(number, keys[each.task_code]) for number, answers in differing.items() for each in answers}
    pen, clocks = Pen(tasks, asking.clocks, marked), f"?{urlencode(asking.clocks)}" if asking.clocks else ""
    pages = {person.pk: reverse("competencies:person", args=[person.pk]) for person in people}
    rows = [
        Head(
            thing=person,
            page=pages[person.pk] + clocks,
            alone=address(person=str(person.pk)),
            total=by_person.get(person.pk, 0),
            counted=address(person=str(person.pk), alone="1"),
            cells=pen.row(person.pk, pages[person.pk], cells),
        )
        for person in people
    ]
    columns = [
        Head(
            thing=task,
            page=reverse("competencies:task", args=[task.code]) + clocks,
            alone=address(task=task.code),
            total=by_task.get(task.pk, 0),
            counted=address(task=task.code, alone="1"),
        )
        for task in tasks
    ]
    areas = [(title, len(list(group))) for title, group in groupby(tasks, lambda task: task.area.title)]
    return {"rows": rows, "columns": columns, "areas": areas}


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A person on a task with the places where it was begun; of none begun there is one, and nothing holds."""

    person: Person
    task: Task
    places: Sequence[tuple[str | None, Period]]


def _listed(asking: Asking, people: Page[Person], tasks: Page[Task]) -> list[Listed]:
    """Return every person shown on every task shown, place by place. One query."""
    held = standings_at(
        people=[person.pk for person in people],
        moment=asking.at.moment,
        known=asking.at.known,
        tasks=[task.code for task in tasks],
    )
    found: dict[tuple[int, str], list[Held]] = {}
    for each in held:
        is_here = asking.cut.line is None or each.scope.line in {"", asking.cut.line.code}
        if is_here and each.period.standing is not Standing.NOT_STARTED:
            found.setdefault((each.person_id, each.task_code), []).append(each)
    return [
        Listed(
            person=person,
            task=task,
            places=[(str(each.scope) or None, each.period) for each in found.get((person.pk, task.code), [])]
            or [(None, NOTHING_KNOWN)],
        )
        for person in people
        for task in tasks
    ]
