"""Whether each line is covered on each shift, by whom, and what is short."""

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TypeAlias

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Line, Shift
from competencies.permissions import may_see_plant
from competencies.queries.cover import covers_of
from competencies.queries.line_cover import LineCover
from competencies.templatetags.cover_words import short_words
from competencies.views.both_answers import AnswerRow
from competencies.views.clocks import Asked, clocks_asked
from competencies.views.loading import own_plant

WEEK_DAYS = 7
Shown: TypeAlias = Sequence[tuple[date, Sequence[tuple[Shift, Sequence[LineCover]]]]]


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
    context = {
        "asked": asked,
        "is_week": is_week,
        "days": shown,
        "earlier": _day(asked, -step),
        "later": _day(asked, step),
        "views": [
            (_("Day"), asked.address(view=None), not is_week),
            (_("Week"), asked.address(view="week"), is_week),
        ],
        "differing": [] if is_week else _differing(found, asked, lines),
    }
    return render(request, "competencies/cover.html", context)


def _day(asked: Asked, step: timedelta) -> str:
    """Return the address of another day, as known now: what was known then is asked for anew."""
    return asked.address(on=(asked.on + step).isoformat(), at=None, known=None, known_at=None)


def _differing(found: Shown, asked: Asked, lines: Sequence[Line]) -> list[AnswerRow]:
    """Return the lines whose cover on a past day reads differently as known then. As many questions again."""
    if asked.then >= asked.now:
        return []
    rows = []
    for day, shifts in found:
        for shift, covers in shifts:
            then_covers = covers_of(lines=lines, shift=shift, on=day, known=asked.then)
            now_covers = covers_of(lines=lines, shift=shift, on=day) if asked.known else covers
            for then, now in zip(then_covers, now_covers, strict=True):
                if _told(then) != _told(now):
                    label = f"{now.line.title}, {shift.title}, {date_format(day, 'j M Y')}"
                    rows.append(AnswerRow(label=label, then=_told(then), now=_told(now)))
    return rows


def _told(cover: LineCover) -> str:
    """Return what is said of a line: covered or short, and who counts at each station."""
    stations = [
        f"{slot.station.task.code}: {', '.join(person.name for person in slot.able) or _('nobody')}"
        for slot in cover.slots
    ]
    return f"{short_words(cover) or _('covered')} ({'; '.join(stations)})"
