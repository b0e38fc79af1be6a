"""Whether each line is covered on each shift, by whom, and what is short."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TypeAlias

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.db.models import QuerySet
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.models import Line, Plant, Shift
from competencies.permissions import may_see_plant
from competencies.queries.cover import covers_over
from competencies.queries.line_cover import LineCover
from competencies.queries.roster import Turn
from competencies.templatetags.cover_words import short_words
from competencies.views.both_answers import AnswerRow
from competencies.views.clocks import Asked, clocks_asked
from competencies.views.list_tables import cover_table
from competencies.views.loading import own_plant
from competencies.views.table_files import file_asked, table_file

WEEK_DAYS = 7
Covers: TypeAlias = Mapping[Turn, Sequence[LineCover]]


@dataclass(frozen=True, slots=True)
class _Shown:
    """Which days are shown, of which lines and shifts."""

    days: Sequence[date]
    shifts: Sequence[Shift]
    lines: Sequence[Line]

    def covers(self, known: datetime | None) -> Covers:
        return covers_over(lines=self.lines, shifts=self.shifts, days=self.days, known=known)


@login_required
@require_safe
def cover(request: ActorRequest) -> HttpResponseBase:
    """Show the day's lines by shift, or the week at a glance."""
    plant = own_plant(request.actor)
    if not may_see_plant(request.actor):
        raise PermissionDenied
    asked = clocks_asked(request)
    is_week = request.GET.get("view") == "week"
    monday = asked.on - timedelta(days=asked.on.weekday())
    shown = _Shown(
        days=[monday + timedelta(days=step) for step in range(WEEK_DAYS)] if is_week else [asked.on],
        shifts=list(Shift.objects.filter(plant=plant).order_by("starts")),
        lines=list(manned_lines(plant)),
    )
    found = shown.covers(asked.known)
    if file := file_asked(request):
        return table_file(request, file, cover_table(each for covers in found.values() for each in covers))
    step = timedelta(days=WEEK_DAYS if is_week else 1)
    context = {
        "asked": asked,
        "is_week": is_week,
        "days": [
            (day, [(shift, [(each, short_words(each)) for each in found[day, shift.pk]]) for shift in shown.shifts])
            for day in ([] if is_week else shown.days)
        ],
        "week": week_rows(found, shown.days, shown.shifts) if is_week else [],
        "week_days": shown.days,
        "earlier": _day(asked, -step),
        "later": _day(asked, step),
        "views": cover_views(asked, _("Week") if is_week else _("Day")),
        "differing": [] if is_week else _differing(shown, found, asked),
    }
    return render(request, "competencies/cover.html", context)


def manned_lines(plant: Plant) -> QuerySet[Line, Line]:
    """Return the lines of a plant that have stations."""
    return Line.objects.filter(plant=plant, stations__isnull=False).distinct().select_related("plant").order_by("code")


def cover_views(asked: Asked, current: str) -> list[tuple[str, str, bool]]:
    """Return the links between the pages of cover: name, address, whether it is the one that is shown."""
    here = reverse("competencies:cover")
    links = [
        (_("Day"), here + asked.address(view=None)),
        (_("Week"), here + asked.address(view="week")),
        (_("Next 12 months"), reverse("competencies:cover-ahead")),
    ]
    return [(name, address, name == current) for name, address in links]


@dataclass(frozen=True, slots=True)
class WeekRow:
    """A line on one shift, day after day; `lines_shifts` is how many rows the line has where it begins, else 0."""

    line: Line
    shift: Shift
    lines_shifts: int
    cells: Sequence[tuple[LineCover, str]]


def week_rows(found: Covers, days: Sequence[date], shifts: Sequence[Shift]) -> list[WeekRow]:
    """Return the rows of the week: each line by shift, with what is short in words for each day."""
    rows = []
    for number, first in enumerate(found[days[0], shifts[0].pk] if shifts else ()):
        for place, shift in enumerate(shifts):
            covers = [found[day, shift.pk][number] for day in days]
            cells = [(each, short_words(each)) for each in covers]
            rows.append(WeekRow(first.line, shift, 0 if place else len(shifts), cells))
    return rows


def _day(asked: Asked, step: timedelta) -> str:
    """Return the address of another day, as known now: what was known then is asked for anew."""
    return asked.address(on=(asked.on + step).isoformat(), at=None, known=None, known_at=None)


def _differing(shown: _Shown, found: Covers, asked: Asked) -> list[AnswerRow]:
    """Return the lines whose cover on a past day reads differently as known then. As many questions again."""
    if asked.then >= asked.now:
        return []
    rows = []
    then_found, now_found = shown.covers(asked.then), shown.covers(None) if asked.known else found
    for day, shift in [(day, shift) for day in shown.days for shift in shown.shifts]:
        for then, now in zip(then_found[day, shift.pk], now_found[day, shift.pk], strict=True):
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
