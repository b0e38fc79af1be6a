"""Whether each line is covered on each shift, by whom, and what is short."""

from datetime import timedelta

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Line, Shift
from competencies.permissions import may_see_plant
from competencies.queries.cover import LineCover, covers_of
from competencies.views.clocks import clocks_asked
from competencies.views.loading import own_plant

WEEK_DAYS = 7


@login_required
@require_safe
def cover(request: ActorRequest) -> HttpResponse:
    """Show the day's lines by shift, or the week at a glance."""
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    asked = clocks_asked(request)
    is_week = request.GET.get("view") == "week"
    lines = list(Line.objects.filter(plant=plant, stations__isnull=False).distinct().select_related("plant"))
    shifts = list(Shift.objects.filter(plant=plant).order_by("starts"))
    monday = asked.on - timedelta(days=asked.on.weekday())
    days = [monday + timedelta(days=step) for step in range(WEEK_DAYS)] if is_week else [asked.on]
    found = [
        (day, [(shift, covers_of(lines=lines, shift=shift, on=day, known=asked.known)) for shift in shifts])
        for day in days
    ]
    step = timedelta(days=WEEK_DAYS if is_week else 1)
    shown = [
        (day, [(shift, [(each, short_words(each)) for each in covers]) for shift, covers in at]) for day, at in found
    ]
    context = {"asked": asked, "is_week": is_week, "days": shown, "earlier": asked.on - step, "later": asked.on + step}
    return render(request, "competencies/cover.html", context)


def short_words(cover: LineCover) -> str:
    """Return in words how many stations share too few people; nothing where the line is covered."""
    if cover.is_covered:
        return ""
    short = cover.short
    people = len({person.pk for slot in short for person in slot.able})
    stations = ngettext("%(count)s station", "%(count)s stations", len(short)) % {"count": len(short)}
    if people == 0:
        return _("nobody for %(stations)s") % {"stations": stations}
    shared = ngettext("%(count)s person", "%(count)s people", people) % {"count": people}
    return _("%(stations)s share %(people)s") % {"stations": stations, "people": shared}
