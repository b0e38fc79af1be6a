"""Worksheets: made, looked at, printed with their key."""

from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.forms.worksheets import WorksheetForm
from assessments.models import Worksheet, WorksheetCopy
from assessments.operations.worksheets import make_worksheet
from assessments.permissions import may_make_worksheet
from assessments.printing.worksheets import key_pdf, sheet_pdf, slip_rows, within
from assessments.queries.library import library_of
from assessments.queries.worksheets import SetProblem, copies_of, problems_on, worksheets_of
from assessments.views.shown import shown_givens, shown_steps
from competencies.middleware import ActorRequest
from competencies.models import Plant
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.table_files import ListTable, file_asked, table_file

PAGE_SIZE = 25
DRAWERS = {"sheet": sheet_pdf, "key": key_pdf}


def _plant(request: ActorRequest) -> Plant:
    """Return the plant of who hands out worksheets, or refuse."""
    plant = own_plant(request.actor)
    if not may_make_worksheet(request.actor):
        raise PermissionDenied
    return plant


@login_required
@require_safe
def worksheet_list(request: ActorRequest) -> HttpResponseBase:
    """List the plant's worksheets, the newest first."""
    worksheets = worksheets_of(_plant(request))
    heads = [_("Worksheet"), _("Made"), _("Made by"), {"text": _("Copies"), "number": True}]
    if file := file_asked(request):
        rows = (_list_row(worksheet) for worksheet in worksheets)
        return table_file(request, file, ListTable(name="worksheets", heads=heads, rows=rows))
    page = Paginator(worksheets, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "heads": heads,
        "rows": [_list_row(worksheet) for worksheet in page],
        "actions": [{"label": _("Make a worksheet"), "url": reverse("assessments:worksheet-new")}],
    }
    return render(request, "assessments/worksheet_list.html", context)


def _list_row(worksheet: Any) -> list[Any]:  # noqa: ANN401 - annotated with its number of copies
    return [
        {
            "text": worksheet.title,
            "code": str(worksheet),
            "url": reverse("assessments:worksheet", args=[worksheet.pk]),
        },
        date_format(timezone.localtime(worksheet.made_at), "j M Y"),
        worksheet.made_by.name,
        {"number": str(worksheet.copies_made)},
    ]


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def worksheet_new(request: ActorRequest) -> HttpResponse:
    """Ask for whom and of what, then draw the problems; the address may name a person."""
    plant, maker = _plant(request), person_at_keyboard(request.actor)
    initial = {"person": request.GET.get("person")}
    form = WorksheetForm(
        request.POST or None, initial=initial, plant=plant, library=library_of(plant), on=request.actor.on
    )
    if request.method == "POST" and form.is_valid() and form.choice:
        worksheet = make_worksheet(
            plant=plant, choice=form.choice, seed=form.chosen_seed(), by=maker, now=timezone.now()
        )
        return redirect("assessments:worksheet", worksheet_id=worksheet.pk)
    return render(request, "assessments/worksheet_new.html", {"form": form})


@login_required
@require_safe
def worksheet(request: ActorRequest, worksheet_id: int) -> HttpResponse:
    """Show a worksheet: both files, and one copy with its key; `copy` in the address chooses which."""
    return _page(request, _worksheet(request, worksheet_id), fault="")


def _page(request: ActorRequest, found: Worksheet, *, fault: str) -> HttpResponse:
    copies = copies_of(found)
    copy = next((each for each in copies if str(each.number) == request.GET.get("copy")), copies[0])
    library = library_of(found.plant)
    context = {
        "worksheet": found,
        "copies": copies,
        "copy": copy,
        "problems": [_shown(each) for each in problems_on(copy, library)],
        "fault": fault,
        "actions": [
            {"label": _("Worksheet (PDF)"), "url": reverse("assessments:worksheet-file", args=[found.pk, "sheet"])},
            {
                "label": _("Answer key (PDF)"),
                "url": reverse("assessments:worksheet-file", args=[found.pk, "key"]),
                "kind": "quiet",
            },
        ],
    }
    return render(request, "assessments/worksheet.html", context)


def _shown(each: SetProblem) -> dict[str, Any]:
    if each.problem is None:
        return {"set": each}
    return {
        "set": each,
        "calculation": each.problem.calculation,
        "givens": shown_givens(each.problem),
        "steps": shown_steps(each.problem),
        "slips": slip_rows(each.problem),
        "slips_id": f"slips-{each.number}",
        "within": within(each.problem),
    }


@login_required
@require_safe
def worksheet_file(request: ActorRequest, worksheet_id: int, part: str) -> HttpResponse:
    """Return the sheets or the key as a file. Its name holds nobody's name: it travels further than the file."""
    found = _worksheet(request, worksheet_id)
    if part not in DRAWERS:
        raise Http404
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        said = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        return _page(request, found, fault=said)
    address = request.build_absolute_uri(reverse("assessments:worksheet", args=[found.pk]))
    copies: list[WorksheetCopy] = copies_of(found)
    pdf = DRAWERS[part](found, copies, library_of(found.plant), address=address, now=timezone.now())
    headers = {"Content-Disposition": f'inline; filename="{found}-{part}.pdf"', "Cache-Control": "no-store"}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


def _worksheet(request: ActorRequest, worksheet_id: int) -> Worksheet:
    """Return a worksheet of the actor's own plant."""
    return get_object_or_404(
        Worksheet.objects.select_related("plant", "made_by"), pk=worksheet_id, plant=_plant(request)
    )
