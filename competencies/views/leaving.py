"""Leavers and movers: what goes with them and what does not, then one act."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.leaving import LastDayForm, MoveForm
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.leaving import LeavingError, announce_last_day, move_person
from competencies.permissions import may_manage_people
from competencies.queries.frame import frame_of
from competencies.queries.leaving import leaving, moving
from competencies.views.loading import own_plant, person_at_keyboard, person_in
from competencies.views.proving import proven


def _person(request: ActorRequest, person_id: int) -> Person:
    found = person_in(own_plant(request.actor), person_id)
    if not may_manage_people(request.actor):
        raise PermissionDenied
    return found


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def person_leaving(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show what goes after a last working day, and enter it."""
    person = _person(request, person_id)
    form = LastDayForm(request.POST or None, person=person, on=request.actor.on)
    context: dict[str, Any] = {"person": person, "form": form}
    if request.method == "POST" and form.is_valid():
        if "sign" in request.POST and _has_left(request, form, person):
            messages.success(request, _("The last working day of %(name)s is entered.") % {"name": person.name})
            return redirect("competencies:person", person.pk)
        context["found"] = leaving(person, last_day=form.cleaned_data["last_day"])
    context["months"] = frame_of(person.plant).policy_on(request.actor.on).record_after_leaving_months
    return render(request, "competencies/person_leaving.html", context)


def _has_left(request: ActorRequest, form: LastDayForm, person: Person) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    last_day = form.cleaned_data["last_day"]
    try:
        announce_last_day(person=person, last_day=last_day, by=by, on=request.actor.on, now=now)
    except LeavingError as error:
        form.add_error(None, str(error))
        return False
    return True


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def person_moving(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show what a move takes along and what it does not, and enter it with today."""
    person = _person(request, person_id)
    form = MoveForm(request.POST or None, person=person)
    if request.method == "POST" and form.is_valid() and "sign" in request.POST and _has_moved(request, form, person):
        messages.success(request, _("%(name)s has moved.") % {"name": person.name})
        return redirect("competencies:person", person.pk)
    found = moving(person, on=request.actor.on, now=timezone.now())
    return render(request, "competencies/person_moving.html", {"person": person, "form": form, "found": found})


def _has_moved(request: ActorRequest, form: MoveForm, person: Person) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    try:
        move_person(person=person, move=form.move(), by=by, on=request.actor.on, now=now)
    except LeavingError as error:
        form.add_error(None, str(error))
        return False
    return True
