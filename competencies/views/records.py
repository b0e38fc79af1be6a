"""Records on paper: one person's, a crew's in one file, and the list of whose may be printed."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.records import CrewPrintForm, PrintForm, RecordFilterForm
from competencies.middleware import ActorRequest
from competencies.models import Person, Plant
from competencies.operations.paper import register_sheets
from competencies.permissions import may_print_record, may_print_records
from competencies.printing.jobs import MOST_AT_ONCE, records_pdf, records_title
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.queries.chain import sign_offs_of
from competencies.queries.record_index import people_with_records, record_rows
from competencies.queries.records import progress_records
from competencies.views.jobs import start_job
from competencies.views.list_tables import records_table
from competencies.views.table_files import file_asked, table_file

PAGE_SIZE = 20


def _office_plant(request: ActorRequest) -> Plant:
    """Return the plant of who prints anyone's record, or refuse."""
    plant = request.actor.plant
    if plant is None or not may_print_records(request.actor):
        raise PermissionDenied
    return plant


@login_required
@require_safe
def records(request: ActorRequest) -> HttpResponseBase:
    """List whose records may be printed, with pathway, credits and the last print."""
    plant = _office_plant(request)
    form = RecordFilterForm(request.GET or None, plant=plant)
    chosen = form.cleaned_data if form.is_valid() else {}
    people = people_with_records(plant, on=request.actor.on, crew=chosen.get("crew"), pathway=chosen.get("pathway"))
    if file := file_asked(request):
        return table_file(request, file, records_table(people, on=request.actor.on))
    page = Paginator(people, PAGE_SIZE).get_page(request.GET.get("page"))
    rows = record_rows(list(page.object_list), on=request.actor.on)
    return render(
        request, "competencies/records.html", {"form": form, "page": page, "rows": rows, "query": request.GET}
    )


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def record_print(request: ActorRequest, person_id: int) -> HttpResponse:
    """Ask for the day, then print one person's record; one's own is everybody's to print."""
    person = Person.objects.select_related("plant", "crew", "area").filter(pk=person_id).first()
    if person is None or not may_print_record(request.actor, person):
        # The same answer for "not yours" and "not there".
        raise PermissionDenied
    if person.joined_into_id is not None:
        return redirect("competencies:record-print", person.joined_into_id)
    form = PrintForm(request.POST or None, today=request.actor.on, now=timezone.now())
    if form.is_valid() and (response := _printed(request, form, [person])):
        return response
    context = {"form": form, "person": person, "sign_offs": sign_offs_of(person, moment=timezone.now())}
    return render(request, "competencies/record_print.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def record_crew(request: ActorRequest) -> HttpResponse:
    """Ask whose and for which day, then print their records in one file."""
    plant = _office_plant(request)
    form = CrewPrintForm(request.POST or None, plant=plant, today=request.actor.on, now=timezone.now())
    if form.is_valid():
        chosen = form.cleaned_data
        people = list(people_with_records(plant, on=chosen["as_of"], crew=chosen["crew"], pathway=chosen["pathway"]))
        if not people:
            form.add_error(None, _("Nobody is in this choice on that day."))
        elif len(people) > MOST_AT_ONCE:
            return start_job(request, "records", _chosen(chosen), title=records_title(len(people)))
        elif response := _printed(request, form, people):
            return response
    return render(request, "competencies/record_crew.html", {"form": form, "most": MOST_AT_ONCE})


def _chosen(chosen: Mapping[str, Any]) -> dict[str, Any]:
    """Return the choice as a job keeps it: numbers and days."""
    known_at = chosen["known_at"]
    return {
        "crew": chosen["crew"].pk if chosen["crew"] else None,
        "pathway": chosen["pathway"].pk if chosen["pathway"] else None,
        "as_of": chosen["as_of"].isoformat(),
        "known_at": known_at.isoformat() if known_at else None,
    }


def _printed(request: ActorRequest, form: PrintForm, people: Sequence[Person]) -> HttpResponse | None:
    """Return the file; None where this machine cannot draw one, which is then said at the form."""
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        form.add_error(
            None, _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        )
        return None
    now, chosen = timezone.now(), form.cleaned_data
    found = progress_records(people, on=chosen["as_of"], known=chosen["known_at"])
    registered = register_sheets(records=found, printed_by=request.actor.person, now=now)
    codes = [each.sheet.code for each in registered]
    addresses = [request.build_absolute_uri(reverse("competencies:sheet-check", args=[code])) for code in codes]
    return as_file(records_pdf(found, registered, addresses, now=now), codes[0])


def as_file(pdf: bytes, code: str) -> HttpResponse:
    """Return a sheet as an answer that nobody keeps."""
    # The name of a file travels further than the file: it holds the sheet's code and nobody's name.
    headers: dict[str, Any] = {"Content-Disposition": f'inline; filename="{code}.pdf"', "Cache-Control": "no-store"}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
