"""The library: every calculation of the plant by family, and a page for each with all there is to know of it."""

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Calculation
from assessments.permissions import may_keep_calculations
from assessments.queries.asked import asked_for
from assessments.queries.library import Library, library_of
from assessments.views.told import example_of, given_heads, given_rows, source_rows
from assessments.vocabulary import Family
from competencies.middleware import ActorRequest
from competencies.models import Plant, Task
from competencies.views.loading import own_plant
from competencies.views.table_files import ListTable, file_asked, table_file

#: So many tasks are named in the list; the page of the calculation names them all.
MOST_CODES = 6


@login_required
@require_safe
def calculation_list(request: ActorRequest) -> HttpResponseBase:
    """List every calculation of the plant by family, with the tasks that ask for it."""
    plant = own_plant(request.actor)
    library, tasks = library_of(plant), _tasks_by_code(plant, request)
    if file := file_asked(request):
        return table_file(request, file, _table(library, tasks))
    actions = []
    if may_keep_calculations(request.actor):
        actions.append({"label": _("The plant's own"), "url": reverse("assessments:own-list"), "kind": "quiet"})
    context = {"families": _families(library, tasks), "count": len(library.current), "actions": actions}
    return render(request, "assessments/library.html", context)


def _table(library: Library, tasks: dict[str, list[Task]]) -> ListTable:
    rows = [
        [_(kind.family.heading), kind.framework_code, kind.code, _(kind.title), " ".join(task.code for task in asking)]
        for kind in library.current.values()
        for asking in [tasks.get(kind.framework_code, [])]
    ]
    heads = [_("Family"), _("Calculation"), _("Problem"), _("Title"), _("Asked for by")]
    return ListTable(name="calculations", heads=heads, rows=rows)


def _families(library: Library, tasks: dict[str, list[Task]]) -> list[tuple[Family, list[tuple[Calculation, str]]]]:
    families = []
    for family in Family:
        kinds = [kind for kind in library.current.values() if kind.family is family]
        rows = [(kind, _codes(tasks.get(kind.framework_code, []))) for kind in kinds]
        if rows:
            families.append((family, rows))
    return families


def _codes(tasks: list[Task]) -> str:
    """Return the codes of the first few tasks, and how many more there are."""
    codes = ", ".join(task.code for task in tasks[:MOST_CODES])
    if len(tasks) <= MOST_CODES:
        return codes
    return _("%(codes)s and %(more)s more") % {"codes": codes, "more": len(tasks) - MOST_CODES}


def _tasks_by_code(plant: Plant, request: ActorRequest) -> dict[str, list[Task]]:
    found: dict[str, list[Task]] = {}
    for item in asked_for(plant, on=request.actor.on):
        found.setdefault(item.calculation, []).append(item.terms.task)
    return found


@login_required
@require_safe
def calculation(request: ActorRequest, code: str) -> HttpResponse:
    """Show all there is to know of one calculation; an earlier version says that it is one."""
    plant = own_plant(request.actor)
    library = library_of(plant)
    try:
        kind = library.kind(code)
    except UnknownCalculationError:
        raise Http404 from None
    context = {
        "calculation": kind,
        "is_current": kind.code in library.current,
        "current": [each for each in library.asked_by(kind.framework_code) if each is not kind],
        "tasks": _tasks_by_code(plant, request).get(kind.framework_code, []),
        "given_heads": given_heads(),
        "given_rows": given_rows(kind),
        "example": example_of(kind),
        "sources": source_rows(kind.references),
    }
    return render(request, "assessments/library_calculation.html", context)
