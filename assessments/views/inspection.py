"""Inspection by eye: series of drawings to accept or reject, the report, and what was handed in."""

import secrets

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessments.forms.inspection import JudgeForm, StartForm, shown_at
from assessments.inspection import INSPECTIONS, Inspection, Item, item_of, seed_of
from assessments.models import InspectionAnswer, InspectionSeries
from assessments.operations.answering import SEED_BELOW
from assessments.operations.inspection import (
    InspectionError,
    Judged,
    answer_item,
    end_series,
    hand_in,
    start_series,
    take_back,
)
from assessments.permissions import may_see_handed_in
from assessments.queries.inspection import counts_of, handed_in, report_of, report_of_series, series_of
from assessments.views.inspection_report import (
    fault_heads,
    fault_rows,
    figure_heads,
    figure_row,
    meaning,
    sums_said,
)
from assessments.views.inspection_words import (
    held_heads,
    held_rows,
    seconds_said,
    shown_item,
    sources_of,
    told_answer,
)
from competencies.middleware import ActorRequest
from competencies.views.loading import own_plant, person_at_keyboard

PAGE_SIZE = 25


@login_required
@require_http_methods(["GET", "POST"])
def inspection_index(request: ActorRequest) -> HttpResponse:
    """Offer a new series, the open ones to go on with, and the finished ones to read."""
    person = person_at_keyboard(request.actor)
    form = StartForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        given, seed = form.cleaned_data, secrets.randbelow(SEED_BELOW)
        series = start_series(person=person, seed=seed, now=timezone.now(), **given)
        return redirect("assessments:inspection-series", series_id=series.pk)
    every = series_of(person)
    page = Paginator(every.exclude(finished_at=None), PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "open_series": [_open_card(series) for series in every.filter(finished_at=None)],
        "page": page,
        "heads": [_("Inspection"), _("Finished"), _("How it went"), _("Who sees it")],
        "rows": [_finished_row(series) for series in page],
        "actions": _index_actions(request),
    }
    return render(request, "assessments/inspection_index.html", context)


def _index_actions(request: ActorRequest) -> list[dict[str, str]]:
    actions = [{"label": _("My report"), "url": reverse("assessments:inspection-report"), "kind": "quiet"}]
    if may_see_handed_in(request.actor):
        url = reverse("assessments:inspection-handed-in")
        actions.append({"label": _("Handed in"), "url": url, "kind": "quiet"})
    return actions


def _open_card(series: InspectionSeries) -> dict[str, str]:
    done = {"done": getattr(series, "answered", 0), "length": series.length}
    return {
        "title": _title(series),
        "url": reverse("assessments:inspection-series", args=[series.pk]),
        "text": _("%(done)s of %(length)s judged. Go on where you stopped.") % done,
    }


def _finished_row(series: InspectionSeries) -> list[object]:
    url = reverse("assessments:inspection-series", args=[series.pk])
    seen_by = _("your trainers, as sums") if series.handed_in_at else _("only you")
    return [{"text": _title(series), "url": url}, _day(series), " ".join(sums_said(counts_of(series))), seen_by]


def _title(series: InspectionSeries) -> str:
    kind = INSPECTIONS.get(series.kind)
    return _(kind.title) if kind else series.kind


def _day(series: InspectionSeries) -> str:
    return date_format(timezone.localtime(series.finished_at), "j M Y") if series.finished_at else ""


@login_required
@require_http_methods(["GET", "POST"])
def inspection_series(request: ActorRequest, series_id: int) -> HttpResponse:
    """Go on with an open series, or end it by POST; show how a finished one went."""
    series = _own_series(request, series_id)
    if request.method == "POST":
        end_series(series=series, now=timezone.now())
        still_there = InspectionSeries.objects.filter(pk=series.pk).exists()
        return redirect("assessments:inspection-series", series.pk) if still_there else redirect(_INDEX)
    report = report_of_series(series)
    if series.finished_at is None:
        number = 1 + (report.counts.seen if report else 0)
        return redirect("assessments:inspection-item", series_id=series.pk, number=number)
    context = {
        "series": series,
        "title": _title(series),
        "report": report,
        "meaning": meaning(report) if report else [],
        "fault_heads": fault_heads(),
        "fault_rows": fault_rows(report) if report else [],
        "answers": _answer_rows(series),
        "answer_heads": [_("Drawing"), _("Your answer"), _("What came of it"), _("Time")],
    }
    return render(request, "assessments/inspection_series.html", context)


_INDEX = "assessments:inspection-list"


def _answer_rows(series: InspectionSeries) -> list[list[object]]:
    kind = _kind(series)
    return [
        [
            {
                "text": _("Drawing %(number)s") % {"number": answer.number},
                "url": reverse("assessments:inspection-item", args=[series.pk, answer.number]),
            },
            _("Rejected") if answer.rejected else _("Accepted"),
            told_answer(answer, kind).title,
            seconds_said(answer.seconds),
        ]
        for answer in series.answers.order_by("number")
    ]


@login_required
@require_http_methods(["GET", "POST"])
def inspection_item(request: ActorRequest, series_id: int, number: int) -> HttpResponse:
    """Show the next drawing and take the answer; of one already judged, show what came of it."""
    series = _own_series(request, series_id)
    answer = series.answers.filter(number=number).first()
    if answer is not None:
        return _marked(request, series, answer)
    if series.finished_at or number != series.answers.count() + 1:
        return redirect("assessments:inspection-series", series_id=series.pk)
    item, now = _item(series, number), timezone.now()
    form = JudgeForm(
        request.POST or None, initial={"shown": shown_at(now=now.timestamp())}, inspection=item.inspection
    )
    if request.method == "POST" and form.is_valid():
        seconds = form.seconds(now=now.timestamp())
        judged = Judged(rejected=form.is_rejected, named=form.cleaned_data["fault"], seconds=seconds)
        return _answered(series, item, number, judged)
    context = {"series": series, "number": number, "item": item, "shown": shown_item(item), "form": form}
    return render(request, "assessments/inspection_item.html", context)


def _answered(series: InspectionSeries, item: Item, number: int, judged: Judged) -> HttpResponse:
    try:
        answer_item(series=series, number=number, item=item, judged=judged, now=timezone.now())
    except InspectionError:
        # Ended meanwhile, in another window: the series says how it stands.
        return redirect("assessments:inspection-series", series_id=series.pk)
    return redirect("assessments:inspection-item", series_id=series.pk, number=number)


def _marked(request: ActorRequest, series: InspectionSeries, answer: InspectionAnswer) -> HttpResponse:
    item = _item(series, answer.number)
    # A drawing that is made differently today is not the one that was judged: then only what was kept is shown.
    is_same = [each[1] for each in answer.measures] == [each.value for each in item.specimen.measures]
    context = {
        "series": series,
        "number": answer.number,
        "inspection": item.inspection,
        "told": told_answer(answer, item.inspection),
        "shown": shown_item(item) if is_same else None,
        "kept": [(says, f"{_(value)} {unit}".strip()) for says, value, unit in answer.measures],
        "held_heads": held_heads(),
        "held_rows": held_rows(item) if is_same else [],
        "broken_rows": held_rows(item, broken_only=True) if is_same else [],
        "sources": sources_of(item.inspection),
        "is_last": answer.number == series.length or series.finished_at is not None,
        "next_number": answer.number + 1,
    }
    return render(request, "assessments/inspection_marked.html", context)


@login_required
@require_POST
def inspection_hand_in(request: ActorRequest, series_id: int) -> HttpResponse:
    """Show the sums of a series to the trainers, or take them back."""
    series = _own_series(request, series_id)
    if series.handed_in_at:
        take_back(series=series)
        messages.success(request, _("Taken back. Only you see it now."))
    else:
        try:
            hand_in(series=series, now=timezone.now())
            messages.success(request, _("Handed in. Your trainers see the sums, not the single answers."))
        except InspectionError:
            messages.error(request, _("Finish the series first."))
    return redirect("assessments:inspection-series", series_id=series.pk)


@login_required
@require_safe
def inspection_report(request: ActorRequest) -> HttpResponse:
    """Show what all of one's own answers add up to."""
    reports = report_of(person_at_keyboard(request.actor))
    context = {
        "heads": figure_heads(),
        "rows": [figure_row(report) for report in reports],
        "fault_heads": fault_heads(),
        "reports": [(report, meaning(report), fault_rows(report)) for report in reports],
    }
    return render(request, "assessments/inspection_report.html", context)


@login_required
@require_safe
def inspection_handed_in(request: ActorRequest) -> HttpResponse:
    """List the sums of what the plant's trainees handed in."""
    plant = own_plant(request.actor)
    if not may_see_handed_in(request.actor):
        raise PermissionDenied
    page = Paginator(handed_in(plant), PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "heads": [_("Who"), _("Inspection"), _("Finished"), _("How it went")],
        "rows": [
            [series.person.name, _title(series), _day(series), " ".join(sums_said(counts_of(series)))]
            for series in page
        ],
    }
    return render(request, "assessments/inspection_handed_in.html", context)


def _own_series(request: ActorRequest, series_id: int) -> InspectionSeries:
    return get_object_or_404(InspectionSeries, pk=series_id, person=person_at_keyboard(request.actor))


def _kind(series: InspectionSeries) -> Inspection:
    if series.kind not in INSPECTIONS:
        raise Http404
    return INSPECTIONS[series.kind]


def _item(series: InspectionSeries, number: int) -> Item:
    seed = seed_of(series.seed, number, below=SEED_BELOW)
    return item_of(_kind(series), seed, close_share=series.close_percent / 100)
