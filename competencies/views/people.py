"""The people of the plant, and everything about one of them on any date."""

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
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
    may_record_absence,
    may_see_conflicts,
    may_see_own_data,
    may_see_people,
    may_see_person,
    may_see_reviews,
)
from competencies.queries.absences import absences_of
from competencies.queries.conflicts import conflicts_of
from competencies.queries.initial_trainers import named_first
from competencies.queries.people import people_found, person_page, standings_counted
from competencies.queries.reviews import under_review
from competencies.views.both_answers import differing_rows
from competencies.views.clocks import clocks_asked
from competencies.views.list_tables import people_table
from competencies.views.loading import own_plant, person_in
from competencies.views.table_files import file_asked, table_file

PAGE_SIZE = 30


@login_required
@require_safe
def people(request: ActorRequest) -> HttpResponseBase:
    """Show the people, narrowed as the address asks."""
    plant = own_plant(request.actor)
    if not may_see_people(request.actor):
        raise PermissionDenied
    form = PeopleFilter(request.GET, plant=plant)
    asked = form.cleaned_data if form.is_valid() else {}
    now = timezone.now()
    found = people_found(plant, asked, on=request.actor.on, now=now)
    if file := file_asked(request):
        return table_file(request, file, people_table(found, now=now))
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    counted = standings_counted(list(page), now=now)
    rows = [(person, counted[person.pk]) for person in page]
    reviewed = under_review(plant, now=now).count() if may_see_reviews(request.actor) else None
    context = {"form": form, "page": page, "rows": rows, "reviewed": reviewed}
    context["may_manage"] = may_manage_people(request.actor)
    return render(request, "competencies/people.html", context)


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
        # The number of a record that was joined to this one: who comes by it is told so.
        "came_by": Person.objects.get(pk=person_id) if person_id != found.pk else None,
        "asked": asked,
        "differing": differing_rows([found], asked),
        "shown": person_page(found, moment=asked.moment, on=asked.on, known=asked.known),
        "may_manage": may_manage_people(request.actor),
        "may_decide": may_decide_unit(request.actor) and found != request.actor.person,
        "may_print": may_print_record(request.actor, found),
        "absences": absences_of(found, on=asked.on),
        "first_at": named_first(found, on=asked.on),
        "may_record_absence": may_record_absence(request.actor, found),
        "may_see_data": may_see_own_data(request.actor, found),
        "conflicts": conflicts_of(found, on=asked.on) if may_see_conflicts(request.actor, found) else [],
    }
    return render(request, "competencies/person.html", context)
