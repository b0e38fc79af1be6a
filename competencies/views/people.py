"""The people of the plant, and everything about one of them on any date."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.forms.people import PeopleFilter
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.permissions import (
    may_decide_unit,
    may_manage_people,
    may_print_record,
    may_see_people,
    may_see_person,
)
from competencies.queries.people import people_found, person_page, standings_counted
from competencies.views.both_answers import differing_rows
from competencies.views.clocks import clocks_asked
from competencies.views.loading import own_plant, person_in

PAGE_SIZE = 30


@login_required
@require_safe
def people(request: ActorRequest) -> HttpResponse:
    """Show the people, narrowed as the address asks."""
    plant = own_plant(request.actor)
    if not may_see_people(request.actor):
        raise PermissionDenied
    form = PeopleFilter(request.GET, plant=plant)
    asked = form.cleaned_data if form.is_valid() else {}
    now = timezone.now()
    page = Paginator(people_found(plant, asked, on=request.actor.on, now=now), PAGE_SIZE).get_page(
        request.GET.get("page")
    )
    counted = standings_counted(list(page), now=now)
    rows = [(person, counted[person.pk]) for person in page]
    return render(request, "competencies/people.html", {"form": form, "page": page, "rows": rows})


def person_shown(request: ActorRequest, person_id: int) -> Person:
    """Return a person that the actor may see; one of another plant is not there."""
    found = person_in(own_plant(request.actor), person_id)
    if not may_see_person(request.actor, found):
        raise PermissionDenied
    return found


@login_required
@require_safe
def person(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show everything about a person on a day, as known now or as known on a day."""
    found = person_shown(request, person_id)
    asked = clocks_asked(request)
    context = {
        "person": found,
        "asked": asked,
        "differing": differing_rows([found], asked),
        "shown": person_page(found, moment=asked.moment, on=asked.on, known=asked.known),
        "may_manage": may_manage_people(request.actor),
        "may_decide": may_decide_unit(request.actor) and found != request.actor.person,
        "may_print": may_print_record(request.actor, found),
    }
    return render(request, "competencies/person.html", context)
