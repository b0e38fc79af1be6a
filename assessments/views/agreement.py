"""Readings that agree: a plant's quantities, one of them over people, a person's, and one of those with every pair."""

from collections.abc import Iterable
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from assessments.permissions import may_see_agreement, may_see_plant_agreement
from assessments.queries.agreement import (
    Compared,
    QuantityOverview,
    agreement_overview,
    person_agreement,
    person_quantity,
    quantity_people,
)
from assessments.queries.readings import quantity_of
from assessments.statistics.agreement import LEAST_PAIRS
from assessments.statistics.repeatability import Repeatability
from assessments.views.agreement_plot import shown_plot
from assessments.views.agreement_tables import (
    overview_heads,
    overview_row,
    pair_heads,
    pair_row,
    person_heads,
    person_row,
    share_heads,
    share_row,
)
from assessments.views.agreement_words import figures, repeats_words, told_finding
from assessments.views.period import Period, period_asked
from competencies.middleware import ActorRequest
from competencies.models import Person, Reading
from competencies.views.loading import own_plant, person_in
from competencies.views.table_files import ListTable, file_asked, table_file

PAGE_SIZE = 25


@login_required
@require_safe
def agreement_list(request: ActorRequest) -> HttpResponseBase:
    """List what two people read in a period, what wants a look first."""
    plant = own_plant(request.actor)
    if not may_see_plant_agreement(request.actor):
        raise PermissionDenied
    period = period_asked(request)
    found = agreement_overview(plant, since=period.since, on=period.on)
    if file := file_asked(request):
        return table_file(request, file, _overview_table(found, period))
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "period": period,
        "page": page,
        "least": LEAST_PAIRS,
        "heads": overview_heads(),
        "rows": [overview_row(each, period.query) for each in page],
    }
    return render(request, "assessments/agreement_list.html", context)


def _overview_table(found: Iterable[QuantityOverview], period: Period) -> ListTable:
    name = f"readings-{period.since:%Y%m%d}-{period.on:%Y%m%d}"
    return ListTable(name=name, heads=overview_heads(), rows=[overview_row(each, "") for each in found])


@login_required
@require_safe
def agreement_quantity(request: ActorRequest, reading_id: int) -> HttpResponse:
    """Show a quantity over everybody who read it and everybody who watched."""
    reading = _reading(request, reading_id)
    if not may_see_plant_agreement(request.actor):
        raise PermissionDenied
    period = period_asked(request)
    quantity = quantity_of(reading, on=request.actor.on)
    found = quantity_people(own_plant(request.actor), quantity, since=period.since, on=period.on)
    context = {
        "period": period,
        "quantity": quantity,
        "least": LEAST_PAIRS,
        "heads": share_heads(),
        "trainees": [
            share_row(each, _address(each.person, period.query, quantity.reading_id)) for each in found.trainees
        ],
        "watchers": [share_row(each, _address(each.person, period.query)) for each in found.watchers],
        **_shown(found.compared, found.repeats, is_all=True),
    }
    return render(request, "assessments/agreement_quantity.html", context)


@login_required
@require_safe
def agreement_person(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show how far a person's readings agree with others', over all quantities."""
    person = _person(request, person_id)
    period = period_asked(request)
    found = person_agreement(person, since=period.since, on=period.on)
    context = {
        "period": period,
        "person": person,
        "least": LEAST_PAIRS,
        "heads": person_heads(),
        "as_trainee": [
            person_row(each, _address(person, period.query, each.quantity.reading_id)) for each in found.as_trainee
        ],
        "as_watcher": [person_row(each, "") for each in found.as_watcher],
    }
    return render(request, "assessments/agreement_person.html", context)


@login_required
@require_safe
def agreement_pairs(request: ActorRequest, person_id: int, reading_id: int) -> HttpResponse:
    """Show a trainee's pairs of one quantity, drawn and one by one."""
    person, reading = _person(request, person_id), _reading(request, reading_id)
    period = period_asked(request)
    quantity = quantity_of(reading, on=request.actor.on)
    found = person_quantity(person, quantity, since=period.since, on=period.on)
    page = Paginator(found.rows, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "period": period,
        "person": person,
        "quantity": quantity,
        "back_url": _address(person, period.query),
        "page": page,
        "heads": pair_heads(),
        "rows": [pair_row(each, found.compared) for each in page] if found.compared else [],
        **_shown(found.compared, found.repeats),
    }
    return render(request, "assessments/agreement_pairs.html", context)


def _shown(compared: Compared | None, repeats: Repeatability | None, *, is_all: bool = False) -> dict[str, Any]:
    """Return verdict, figures and plot of what was compared; nothing where there are no pairs."""
    if compared is None:
        return {}
    return {
        "told": told_finding(compared, is_all=is_all),
        "figures": figures(compared),
        "plot": shown_plot(compared),
        "repeats": repeats_words(repeats, compared),
    }


def _person(request: ActorRequest, person_id: int) -> Person:
    """Return a person whose agreement the actor may see; one of another plant is not there."""
    person = person_in(own_plant(request.actor), person_id)
    if not may_see_agreement(request.actor, person):
        raise PermissionDenied
    return person


def _reading(request: ActorRequest, reading_id: int) -> Reading:
    """Return a reading of the actor's own plant."""
    readings = Reading.objects.select_related("revision__task")
    return get_object_or_404(readings, pk=reading_id, revision__task__plant=own_plant(request.actor))


def _address(person: Person, query: str, reading_id: int | None = None) -> str:
    """Return the page of a person's agreement, or of one of their quantities, over the same period."""
    if reading_id is None:
        return reverse("assessments:agreement-person", args=[person.pk]) + query
    return reverse("assessments:agreement-pairs", args=[person.pk, reading_id]) + query
