"""What of the records is due to go, what is held, and who signs for either."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.retention import EndHoldForm, ErasureForm, HoldForm
from competencies.middleware import ActorRequest
from competencies.models import LegalHold
from competencies.operations.erasing import erase
from competencies.operations.holds import end_hold, set_hold
from competencies.operations.recording import RefusedError
from competencies.permissions import may_erase, may_see_retention
from competencies.queries.frame import frame_of
from competencies.queries.retention import holds_of, retention_of
from competencies.views.faults import add_refusals
from competencies.views.list_tables import holds_table, kept_table
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.proving import both_proven, proven
from competencies.views.table_files import file_asked, table_file

PAGE_SIZE = 30
BIGGEST = 2**62


@sensitive_post_parameters("pin", "second_pin")
@login_required
@require_http_methods(["GET", "POST"])
def retention(request: ActorRequest) -> HttpResponseBase:
    """Show what is due and what is kept back; erase what two people sign for."""
    plant = own_plant(request.actor)
    if not may_see_retention(request.actor) or (request.method == "POST" and not may_erase(request.actor)):
        raise PermissionDenied
    due = retention_of(plant, on=request.actor.on)
    if request.method == "GET" and (file := file_asked(request)):
        return table_file(request, file, kept_table(due.kept_back))
    form = ErasureForm(request.POST or None, plant=plant, first=person_at_keyboard(request.actor), due=due)
    if request.method == "POST" and form.is_valid() and _was_erased(request, form):
        return redirect("competencies:retention")
    context = {
        "due": due,
        "form": form if may_erase(request.actor) and (due.evidence or due.records) else None,
        "kept": Paginator(due.kept_back, PAGE_SIZE).get_page(request.GET.get("page")),
        "policy": frame_of(plant).policy_on(request.actor.on),
    }
    return render(request, "competencies/retention.html", context)


def _was_erased(request: ActorRequest, form: ErasureForm) -> bool:
    now = timezone.now()
    both = both_proven(form, person_at_keyboard(request.actor), now=now)
    if both is None:
        return False
    try:
        gone = erase(plant=own_plant(request.actor), chosen=form.chosen(), by=both[0], second=both[1], now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    said = _("Erased: %(texts)s texts, %(names)s names, %(people)s people's records. The ledger still verifies.")
    messages.success(request, said % {"texts": gone.texts, "names": gone.names, "people": gone.people})
    return True


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def holds(request: ActorRequest) -> HttpResponseBase:
    """Show the legal holds, open ones first; set one."""
    plant = own_plant(request.actor)
    if not may_see_retention(request.actor):
        raise PermissionDenied
    if request.method == "GET" and (file := file_asked(request)):
        return table_file(request, file, holds_table(holds_of(plant)))
    form = HoldForm(request.POST or None, plant=plant)
    if request.method == "POST" and form.is_valid() and _was_set(request, form):
        messages.success(request, _("The hold is set. Nothing it covers is erased until another person ends it."))
        return redirect("competencies:retention-holds")
    page = Paginator(holds_of(plant), PAGE_SIZE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "actor_person": request.actor.person}
    return render(request, "competencies/holds.html", context)


def _was_set(request: ActorRequest, form: HoldForm) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    try:
        set_hold(plant=own_plant(request.actor), cover=form.cover(), by=by, now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    return True


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def hold_end(request: ActorRequest, hold_id: int) -> HttpResponse:
    """Show one hold and end it."""
    plant = own_plant(request.actor)
    if not may_see_retention(request.actor):
        raise PermissionDenied
    hold = holds_of(plant).filter(pk=min(hold_id, BIGGEST)).first()
    if hold is None:
        raise Http404
    form = EndHoldForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _was_ended(request, form, hold):
        messages.success(request, _("The hold %(incident)s is ended.") % {"incident": hold.incident})
        return redirect("competencies:retention-holds")
    is_own = hold.set_by_id == person_at_keyboard(request.actor).pk
    return render(request, "competencies/hold_end.html", {"hold": hold, "form": form, "is_own": is_own})


def _was_ended(request: ActorRequest, form: EndHoldForm, hold: LegalHold) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    try:
        end_hold(hold=hold, by=by, now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    return True
