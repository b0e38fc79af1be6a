"""How far a person is along a pathway, unit by unit; and the plant's units with who is how far."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import (
    may_decide_unit,
    may_manage_people,
    may_moderate_unit,
    may_print_record,
    may_report_unit,
    may_see_units,
)
from competencies.queries.pathways import pathways_open_to
from competencies.queries.unit_pages import pathway_sheets, units_page
from competencies.views.clocks import clocks_asked
from competencies.views.list_tables import units_table
from competencies.views.loading import own_plant
from competencies.views.people import person_shown
from competencies.views.table_files import file_asked, table_file

PAGE_SIZE = 30


@login_required
@require_safe
def person_pathway(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show a person's pathways on a day, as known: the distance on each rule, and unit by unit."""
    found = person_shown(request, person_id)
    asked = clocks_asked(request)
    is_other = found != request.actor.person
    context = {
        "person": found,
        "asked": asked,
        "sheets": pathway_sheets(found, on=asked.on, moment=asked.moment, known=asked.known),
        "may_enrol": may_manage_people(request.actor) and is_other and pathways_open_to(found).exists(),
        "may_decide": may_decide_unit(request.actor) and is_other,
        "may_report": may_report_unit(request.actor) and is_other,
        "may_moderate": may_moderate_unit(request.actor) and is_other,
        "may_print": may_print_record(request.actor, found),
    }
    return render(request, "competencies/person_pathway.html", context)


@login_required
@require_safe
def units(request: ActorRequest) -> HttpResponseBase:
    """Show the plant's units with their versions, and the decisions on them."""
    plant = own_plant(request.actor)
    if not may_see_units(request.actor):
        raise PermissionDenied
    shown = units_page(plant, on=request.actor.on)
    if file := file_asked(request):
        return table_file(request, file, units_table(shown))
    context = {
        "shown": shown,
        "page": Paginator(shown.to_report, PAGE_SIZE).get_page(request.GET.get("page")),
        "may_report": may_report_unit(request.actor),
        "may_moderate": may_moderate_unit(request.actor),
    }
    return render(request, "competencies/units.html", context)
