"""What one thing to do on a shift with who is there: what brings the line most cover for its time."""

from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Line, Shift
from competencies.permissions import may_assign, may_see_plant
from competencies.queries.frame import frame_of
from competencies.queries.one_thing import Offer, OneThing, RareTask, one_thing
from competencies.views.cover_shift import day_in_address
from competencies.views.loading import own_plant


@login_required
@require_safe
def cover_one_thing(request: ActorRequest, line_code: str, day: str, shift_name: str) -> HttpResponse:
    """Show what brings most cover an hour, the next two, and what is rare here; a tap fills in the assignment."""
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    line = get_object_or_404(Line.objects.select_related("plant"), plant=plant, code=line_code)
    shift = get_object_or_404(Shift, plant=plant, name=shift_name)
    on = day_in_address(day)
    found = one_thing(line, shift, on)
    is_over = found.cover.end <= timezone.now()
    may_ask = may_assign(request.actor) and not is_over
    context: dict[str, Any] = {
        "found": found,
        "cover": found.cover,
        "is_over": is_over,
        "offers": [(offer, _ask(found, offer) if may_ask else "") for offer in found.offers],
        "rare": [(each, _ask_rare(found, each) if may_ask else "") for each in found.rare],
        "policy": frame_of(plant).policy_on(on),
    }
    return render(request, "competencies/one_thing.html", context)


def _ask(found: OneThing, offer: Offer) -> str:
    """Return the address of the assignment, filled in; none for what a person does alone."""
    if not offer.with_whom:
        return ""
    machines = {
        slot.station.machine.code: slot.station.machine_id for slot in found.cover.slots if slot.station.machine
    }
    asked = {"person": offer.person.pk, "task": offer.step.task, "trainer": offer.with_whom[0].pk}
    return _address(found, {**asked, "machine": machines.get(offer.step.scope.machine)})


def _ask_rare(found: OneThing, rare: RareTask) -> str:
    return _address(found, {"task": rare.task.code, "person": [person.pk for person in rare.people]})


def _address(found: OneThing, asked: dict[str, Any]) -> str:
    cover = found.cover
    place = {"on": cover.on.isoformat(), "shift": cover.shift.name, "line": cover.line.code}
    query = urlencode({name: value for name, value in {**place, **asked}.items() if value}, doseq=True)
    return f"{reverse('competencies:assign')}?{query}"
