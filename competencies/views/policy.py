"""The plant's settings: the figures in force, and their history."""

from dataclasses import dataclass

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.forms.policy import FURTHER, SIMPLE, PolicyForm
from competencies.middleware import ActorRequest
from competencies.models import Plant, PlantPolicy
from competencies.operations.framework import PolicyChange, set_policy
from competencies.operations.pins import PinError, prove_pin
from competencies.permissions import may_set_policy
from competencies.queries.frame import frame_of
from competencies.queries.signatures import signatures
from competencies.views.loading import own_plant, person_at_keyboard


@login_required
@require_http_methods(["GET", "POST"])
def settings(request: ActorRequest) -> HttpResponse:
    """Show the plant's figures, or set them from a day on."""
    plant = own_plant(request.actor)
    if not may_set_policy(request.actor):
        raise PermissionDenied
    policy = frame_of(plant).policy_on(request.actor.on)
    form = PolicyForm(request.POST or None, policy=policy, on=request.actor.on)
    if request.method == "POST" and form.is_valid() and _was_set(request, form):
        messages.success(request, _("The figures are set. Earlier answers stay as they were."))
        return redirect("competencies:settings")
    context = {"form": form, "history": _history(plant)}
    return render(request, "competencies/settings.html", context)


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the settings: the row, who set it ("" where the name was erased), and the figures in words."""

    row: PlantPolicy
    by: str
    figures: list[tuple[str, str]]


def _history(plant: Plant) -> list[Change]:
    rows = list(PlantPolicy.objects.filter(plant=plant).order_by("-effective_on", "-recorded_at")[:50])
    signed = signatures([row.entry_seq for row in rows if row.entry_seq is not None])
    found = []
    for row in rows:
        signature = signed.get(row.entry_seq) if row.entry_seq is not None else None
        figures = [(_label(name), _value(value)) for name, value in row.settings.items()]
        found.append(Change(row, signature.name if signature else "", figures))
    return found


def _was_set(request: ActorRequest, form: PolicyForm) -> bool:
    now = timezone.now()
    try:
        signer = prove_pin(person=person_at_keyboard(request.actor), pin=form.cleaned_data["pin"], now=now)
    except PinError as error:
        form.add_error("pin", str(error))
        return False
    change = PolicyChange(effective_on=form.cleaned_data["effective_on"], settings=form.settings())
    set_policy(plant=own_plant(request.actor), change=change, signer=signer, now=now)
    return True


def _label(name: str) -> str:
    told = SIMPLE.get(name) or FURTHER.get(name)
    return str(told.label) if told else name


def _value(value: object) -> str:
    if value is None:
        return _("not asked")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dict):
        return _("%(other)s; critical tasks %(critical)s") % value
    return str(value)
