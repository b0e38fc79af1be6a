"""Item statistics for the coordinator: how the problems of checks do, one by one and together."""

from collections.abc import Iterable, Iterator

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.permissions import may_see_item_statistics
from assessments.queries.item_statistics import Item, item_report
from assessments.queries.library import library_of
from assessments.statistics.items import Undefined
from assessments.views.item_words import (
    OTHER_FAULTS,
    check_heads,
    check_row,
    discrimination_words,
    doubt_word,
    fault_word,
    item_facts,
    item_heads,
    item_row,
    item_title,
    slip_heads,
    slip_rows,
    told_pointer,
)
from assessments.views.period import period_asked
from competencies.middleware import ActorRequest
from competencies.models import Plant
from competencies.permissions import may_open_check
from competencies.views.loading import own_plant
from competencies.views.table_files import ListTable, file_asked, table_file

PAGE_SIZE = 25


@login_required
@require_safe
def item_list(request: ActorRequest) -> HttpResponseBase:
    """List the kinds of problem that checks asked, what may mislead first, and the checks themselves."""
    plant, period = _plant(request), period_asked(request)
    report = item_report(plant, since=period.since, on=period.on)
    if file := file_asked(request):
        name = f"items-{period.since:%Y%m%d}-{period.on:%Y%m%d}"
        return table_file(request, file, ListTable(name=name, heads=_file_heads(), rows=_file_rows(report.items)))
    items = sorted(report.items, key=lambda item: (-len(item.figures.pointers), item.figures.item))
    page = Paginator(items, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "period": period,
        "page": page,
        "heads": item_heads(),
        "rows": [item_row(item, period.query) for item in page],
        "check_heads": check_heads(),
        "check_rows": [check_row(check) for check in report.checks],
        "may_open_check": may_open_check(request.actor),
    }
    return render(request, "assessments/item_list.html", context)


@login_required
@require_safe
def item(request: ActorRequest, code: str) -> HttpResponse:
    """Show one kind of problem: its figures, its slips with their advice, and what to look at."""
    plant, period = _plant(request), period_asked(request)
    report = item_report(plant, since=period.since, on=period.on)
    found = next((each for each in report.items if each.figures.item == code), None)
    kind = found.kind if found else library_of(plant).current.get(code)
    if found is None and kind is None:
        raise Http404
    context = {
        "period": period,
        "title": item_title(kind, code),
        "code": code,
        "facts": item_facts(found.figures) if found else [],
        "pointers": [told_pointer(pointer) for pointer in found.figures.pointers] if found else [],
        "heads": slip_heads(),
        "rows": slip_rows(found) if found else [],
        "back_url": reverse("assessments:item-list") + period.query,
    }
    return render(request, "assessments/item.html", context)


def _file_heads() -> list[str]:
    return [
        *(_("Problem"), _("Title"), _("Checks"), _("Answers"), _("Right")),
        *(_("Share right"), _("95 % interval from"), _("95 % interval to")),
        *(_("Discrimination"), _("Why there is none")),
        *(_("Time, lower quartile [s]"), _("Time, median [s]"), _("Time, upper quartile [s]")),
        *(fault_word(fault) for fault in OTHER_FAULTS),
        *(_("Slips"), _("Look at")),
    ]


def _file_rows(items: Iterable[Item]) -> Iterator[list[object]]:
    for each in items:
        figures, held = each.figures, each.figures.discrimination
        yield [
            *(figures.item, item_title(each.kind, figures.item), " ".join(each.checks)),
            *(figures.answers, figures.right),
            *(round(share, 4) for share in (figures.difficulty, figures.within.low, figures.within.high)),
            *(("", discrimination_words(held)) if isinstance(held, Undefined) else (round(held, 4), "")),
            *(figures.seconds.quarter, figures.seconds.middle, figures.seconds.three_quarters),
            *(figures.verdicts.get(fault, 0) for fault in OTHER_FAULTS),
            "; ".join(f"{_(name)}: {count}" for name, count in figures.slips),
            "; ".join(doubt_word(pointer.doubt) for pointer in figures.pointers),
        ]


def _plant(request: ActorRequest) -> Plant:
    """Return the plant of one who may see how problems do."""
    plant = own_plant(request.actor)
    if not may_see_item_statistics(request.actor):
        raise PermissionDenied
    return plant
