"""Absences of a person: the list, entering one, moving the return. No reason is asked or kept."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.absences import AbsenceForm
from competencies.middleware import ActorRequest
from competencies.models import Absence, Person
from competencies.operations.absences import AbsenceError, change_return, record_absence
from competencies.permissions import may_record_absence
from competencies.queries.absences import absences_of
from competencies.queries.frame import frame_of
from competencies.views.loading import own_plant, person_at_keyboard, person_in
from competencies.views.proving import proven

BIGGEST = 2**62


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def person_absences(request: ActorRequest, person_id: int) -> HttpResponse:
    """Show when a person was or will be away and what the return asks; enter an absence, or move a return."""
    person = person_in(own_plant(request.actor), person_id)
    if not may_record_absence(request.actor, person):
        raise PermissionDenied
    absence = _moved(person, request.GET.get("return", ""))
    form = AbsenceForm(
        request.POST or None,
        frame=frame_of(person.plant),
        absence=absence,
        initial={"from_on": request.actor.on},
    )
    if request.method == "POST" and form.is_valid() and _was_entered(request, form, person, absence):
        messages.success(request, _("Entered for %(name)s.") % {"name": person.name})
        return redirect("competencies:person-absences", person.pk)
    context: dict[str, Any] = {
        "person": person,
        "form": form,
        "moved": absence,
        "found": absences_of(person, on=request.actor.on),
    }
    return render(request, "competencies/person_absences.html", context)


def _moved(person: Person, number: str) -> Absence | None:
    """Return the absence whose return is to be moved, if the address names one."""
    if not number:
        return None
    if not number.isdecimal():
        raise Http404
    found = Absence.objects.filter(person=person, pk=min(int(number[:18]), BIGGEST)).select_related("person__plant")
    absence = found.first()
    if absence is None:
        raise Http404
    return absence


def _was_entered(request: ActorRequest, form: AbsenceForm, person: Person, absence: Absence | None) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    away = form.away()
    try:
        if absence is None:
            record_absence(person=person, away=away, by=by, now=now)
        else:
            change_return(absence=absence, until_on=away.until_on, by=by, now=now)
    except AbsenceError as error:
        form.add_error("back_on", str(error))
        return False
    return True
