"""One line on one shift: who stands where, who relieves, on whom it hangs; to be printed for the shift."""

from datetime import date

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Line, Person, Shift
from competencies.permissions import may_see_plant
from competencies.queries.cover_shift import shift_page
from competencies.views.loading import own_plant, person_in

FIRST_YEAR, LAST_YEAR = 1950, 2150


@login_required
@require_safe
def cover_shift(request: ActorRequest, line_code: str, day: str, shift_name: str) -> HttpResponse:
    """Show a line on a shift, as known now or as known when it began, and as if somebody were missing."""
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    line = get_object_or_404(Line.objects.select_related("plant"), plant=plant, code=line_code)
    shift = get_object_or_404(Shift, plant=plant, name=shift_name)
    missing = person_in(plant, request.GET["without"]) if request.GET.get("without") else None
    now = timezone.now()
    as_known_then = request.GET.get("known") == "then"
    page = shift_page(
        line, shift, day_in_address(day), now=now, as_known_then=as_known_then, without=[missing.pk] if missing else []
    )
    context = {
        "page": page,
        "cover": page.cover,
        "as_known_then": as_known_then and page.then is not None,
        "missing": missing,
        "people": sorted({*page.cover.people, *([missing] if missing else [])}, key=_by_name),
        "now": now,
    }
    return render(request, "competencies/cover_shift.html", context)


def _by_name(person: Person) -> str:
    return person.name


def day_in_address(text: str) -> date:
    """Return the day of an address, or answer that there is no such page."""
    try:
        found = date.fromisoformat(text)
    except ValueError:
        raise Http404 from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise Http404
    return found
