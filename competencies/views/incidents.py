"""After an incident: who was on at that minute, did they count, what is known since; and the copy that was kept."""

from datetime import date, datetime
from typing import Any, Final

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.incidents import MinuteForm, OpenIncidentForm
from competencies.middleware import ActorRequest
from competencies.models import Incident, Plant, Shift
from competencies.operations.incidents import Opening, open_incident, register_incident
from competencies.operations.recording import RefusedError
from competencies.permissions import may_open_incident, may_see_incidents
from competencies.printing.incidents import incident_pdf
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.printing.records import proof_of
from competencies.queries.frame import frame_of
from competencies.queries.incidents.copying import read_copy
from competencies.queries.incidents.finding import Asked, incident_found, shifts_at
from competencies.queries.incidents.kept import is_as_signed, since_copy
from competencies.queries.incidents.telling import changes_told, incident_told
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.proving import proven
from competencies.views.records import as_file

PAGE_SIZE: Final = 30
BIGGEST: Final = 2**62


def _plant(request: ActorRequest) -> Plant:
    plant = own_plant(request.actor)
    if not may_see_incidents(request.actor):
        raise PermissionDenied
    return plant


@login_required
@require_safe
def incidents(request: ActorRequest) -> HttpResponse:
    """Ask for a line and a minute, and list the incidents that were opened, newest first."""
    plant = _plant(request)
    rows = Incident.objects.filter(plant=plant).select_related("line", "shift", "opened_by", "hold")
    page = Paginator(rows.order_by("-opened_at", "-pk"), PAGE_SIZE).get_page(request.GET.get("page"))
    form = MinuteForm(plant=plant, now=timezone.now(), initial={"on": request.actor.on})
    context = {"page": page, "form": form, "may_open": may_open_incident(request.actor)}
    return render(request, "competencies/incidents.html", context)


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def incident_look(request: ActorRequest) -> HttpResponse:
    """Show who was on at a minute and what is known of them; opening the incident keeps it and sets the hold."""
    plant = _plant(request)
    may_open = may_open_incident(request.actor)
    if request.method == "POST" and not may_open:
        raise PermissionDenied
    now = timezone.now()
    minute = MinuteForm(request.GET or None, plant=plant, now=now)
    running = _running(plant, minute)
    if not running:
        return render(request, "competencies/incident_ask.html", {"form": minute, "is_asked": minute.is_valid()})
    wanted = minute.cleaned_data["shift"]
    shift, on = next((each for each in running if each[0].name == wanted), running[0])
    line, moment = minute.cleaned_data["line"], minute.cleaned_data["moment"]
    asked = Asked(line=line, shift=shift, on=on, moment=moment, now=now)
    form = OpenIncidentForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and (opened := _opened(request, form, asked)):
        messages.success(request, _("The copy is kept and the hold is set. Another person ends the hold."))
        return redirect("competencies:incident", opened.pk)
    context = {
        "told": incident_told(incident_found(asked), line, shift),
        "minute": minute,
        "running": [each for each, _on in running if each != shift],
        "address": minute.address(),
        "form": form if may_open else None,
    }
    return render(request, "competencies/incident_look.html", context)


def _running(plant: Plant, minute: MinuteForm) -> list[tuple[Shift, date]]:
    """Return the shifts that ran at the minute; none where nothing readable was asked."""
    if not minute.is_valid():
        return []
    moment: datetime = minute.cleaned_data["moment"]
    return shifts_at(Shift.objects.filter(plant=plant), frame_of(plant), moment)


def _opened(request: ActorRequest, form: OpenIncidentForm, asked: Asked) -> Incident | None:
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=asked.now)
    if by is None:
        return None
    try:
        return open_incident(opening=Opening(asked=asked, number=form.cleaned_data["number"]), by=by)
    except RefusedError as error:
        add_refusals(form, error)
        return None


def _incident(request: ActorRequest, incident_id: int) -> Incident:
    rows = Incident.objects.select_related("line__plant", "plant", "shift", "opened_by", "hold__ended_by")
    found = rows.filter(plant=_plant(request), pk=min(incident_id, BIGGEST)).first()
    if found is None:
        raise Http404
    return found


@login_required
@require_safe
def incident(request: ActorRequest, incident_id: int) -> HttpResponse:
    """Show the copy that was kept, whether it is the one that was signed, and what reads differently today."""
    kept = _incident(request, incident_id)
    context = {**_kept_context(kept, timezone.now()), "may_print": may_open_incident(request.actor)}
    return render(request, "competencies/incident.html", context)


def _kept_context(kept: Incident, now: datetime) -> dict[str, Any]:
    if not is_as_signed(kept):
        return {"kept": kept, "is_as_signed": False}
    found = read_copy(kept.copy)
    asked = Asked(line=kept.line, shift=kept.shift, on=kept.on, moment=kept.moment, now=now)
    since = since_copy(found, incident_found(asked))
    changes, joined, gone = changes_told(kept.plant, since)
    return {
        "kept": kept,
        "is_as_signed": True,
        "told": incident_told(found, kept.line, kept.shift),
        "since": since,
        "changes": changes,
        "joined": joined,
        "gone": gone,
    }


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def incident_print(request: ActorRequest, incident_id: int) -> HttpResponse:
    """Print the copy as it was kept. Each print is registered, so a look leads back to the page."""
    kept = _incident(request, incident_id)
    back = redirect("competencies:incident", kept.pk)
    if not may_open_incident(request.actor):
        raise PermissionDenied
    if request.method != "POST" or not is_as_signed(kept):
        return back
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        text = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        messages.error(request, text)
        return back
    now = timezone.now()
    registered = register_incident(incident=kept, printed_by=request.actor.person, now=now)
    address = request.build_absolute_uri(reverse("competencies:sheet-check", args=[registered.sheet.code]))
    proof = proof_of(registered, address, known=kept.opened_at, now=now)
    told = incident_told(read_copy(kept.copy), kept.line, kept.shift)
    return as_file(incident_pdf(kept, told, proof), registered.sheet.code)
