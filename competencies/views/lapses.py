"""What runs out: by month for the horizon, and who they are."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from competencies.forms.lapses import LapseFilter
from competencies.middleware import ActorRequest
from competencies.models import Plant
from competencies.permissions import may_plan_renewals, may_see_lapses
from competencies.queries.lapses import Cut, Month, Part, last_day, months_from, months_of, running_out
from competencies.views.loading import own_plant
from competencies.views.table_files import ListTable, file_asked, table_file

PAGE_SIZE = 50
# The drawing, in units of its own: so wide and high, with so much room for words above and below.
STEP, BAR, TOP, FLOOR, HIGH = 40.0, 26.0, 24.0, 190.0, 240.0


@dataclass(frozen=True, slots=True)
class Bar:
    """A month in the drawing: where its bar stands, its count, and the page of who they are."""

    month: Month
    x: float
    y: float
    height: float
    middle: float
    path: str
    address: str


@dataclass(frozen=True, slots=True)
class Chart:
    """The months as bars, and what they say in words."""

    bars: Sequence[Bar]
    width: float
    high: float
    floor: float
    text: str


@login_required
@require_safe
def lapses(request: ActorRequest) -> HttpResponseBase:
    """Show how many sign-offs run out in each month, split by area, crew or line."""
    plant, form = _asked(request)
    months = months_of(plant, form.narrowed(), form.cut(), moment=timezone.now(), on=request.actor.on)
    parts = sorted({part for month in months for part in month.parts}, key=lambda part: (not part[1], part[1]))
    if file := file_asked(request):
        return table_file(request, file, _table(months, parts))
    chart = chart_of(months, request.GET.urlencode())
    context = {
        "form": form,
        "chart": chart,
        "parts": parts,
        "rows": [
            (bar, [(bar.month.parts.get(part, 0), _narrowed(request, form.cut(), part)) for part in parts])
            for bar in chart.bars
        ],
        "total": sum(month.total for month in months),
        "may_plan": may_plan_renewals(request.actor),
    }
    return render(request, "competencies/lapses.html", context)


def _table(months: Sequence[Month], parts: Sequence[Part]) -> ListTable:
    """Return a row for each month: how many sign-offs run out, in all and of each part."""
    rows = [[month.first_on, month.total, *(month.parts.get(part, 0) for part in parts)] for month in months]
    heads = [_("Month from"), _("Sign-offs that run out"), *(title or _("none") for _number, title in parts)]
    return ListTable(name="running-out", heads=heads, rows=rows)


@login_required
@require_safe
def lapses_month(request: ActorRequest, year: int, month: int) -> HttpResponse:
    """Show whose sign-offs run out in a month; the first month names what is in grace as well."""
    plant, form = _asked(request)
    firsts = months_from(request.actor.on)
    first = next((each for each in firsts if (each.year, each.month) == (year, month)), None)
    if first is None:
        raise Http404
    rows = running_out(
        plant,
        form.narrowed(),
        moment=timezone.now(),
        on=request.actor.on,
        from_on=date.min if first == firsts[0] else first,
        until_on=last_day(first),
    ).select_related("person__crew", "task__area")
    page = Paginator(rows, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "first": first}
    return render(request, "competencies/lapses_month.html", context)


def _asked(request: ActorRequest) -> tuple[Plant, LapseFilter]:
    plant = own_plant(request.actor)
    if not may_see_lapses(request.actor):
        raise PermissionDenied
    return plant, LapseFilter(request.GET, plant=plant)


def _narrowed(request: ActorRequest, cut: Cut, part: Part) -> str:
    """Return the question that narrows a month to one part of a cut; "" for what belongs to none."""
    number, _title = part
    if number is None:
        return ""
    asked = request.GET.copy()
    asked[cut.value] = str(number)
    return "?" + asked.urlencode()


def chart_of(months: Sequence[Month], query: str) -> Chart:
    """Return the drawing of the months; `query` narrows the pages that the bars lead to."""
    most = max((month.total for month in months), default=0) or 1
    bars = []
    for number, month in enumerate(months):
        height = round((FLOOR - TOP) * month.total / most, 1)
        first = month.first_on
        address = reverse("competencies:lapses-month", args=[first.year, first.month])
        x = number * STEP + (STEP - BAR) / 2
        bars.append(
            Bar(
                month,
                x,
                round(FLOOR - height, 1),
                height,
                x + BAR / 2,
                address,
                address + (f"?{query}" if query else ""),
            )
        )
    return Chart(bars, len(months) * STEP, HIGH, FLOOR, _told(months))


def _told(months: Sequence[Month]) -> str:
    highest = max(months, key=lambda month: month.total)
    if not highest.total:
        return _("Nothing runs out in these months.")
    return _("Most run out in %(month)s: %(count)s. The figures of every month stand in the table below.") % {
        "month": date_format(highest.first_on, "F Y"),
        "count": highest.total,
    }
