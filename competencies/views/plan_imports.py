"""Files in: a roster or absences are read, shown, and taken or thrown away. Coordinators only."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from typing import Any, Final

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l
from django.views.decorators.http import require_http_methods, require_safe

from competencies.exporting.files import FileForm as TableForm
from competencies.exporting.files import write_table
from competencies.forms.imports import FileForm, PlanDecisionForm
from competencies.importing.plan import KnownPlan, PlanFile
from competencies.importing.plan_file import AWAY_COLUMNS, ROSTER_COLUMNS, read_absences, read_roster
from competencies.middleware import ActorRequest
from competencies.models import PendingFile, Person
from competencies.operations.absences import AbsenceError
from competencies.operations.imports import FileKind, Upload, keep_file
from competencies.operations.pins import Signer
from competencies.operations.plan import take_absences, take_roster
from competencies.permissions import may_import
from competencies.queries.plan import known_plan
from competencies.views.import_tables import remark_rows

EXTENSIONS: Final = ("csv", "txt", "tsv", "xlsx")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanKind:
    """A kind of plan: what it is called, its columns, how it is read, and what its file is told to hold."""

    title: Promise
    lead: Promise
    columns: Sequence[str]
    notes: Sequence[Promise]
    read: Callable[..., PlanFile]


DAYS: Final = _l("Days as 2026-01-31 or 31/01/2026. A day that could be read two ways is not guessed.")
KINDS: Final[dict[str, PlanKind]] = {
    FileKind.ROSTER: PlanKind(
        title=_l("Bring a roster"),
        lead=_l("One row for a person on a shift. A shift that is in the roster already takes what the file says."),
        columns=ROSTER_COLUMNS,
        notes=(
            _l("Needed: employee number, day, shift. May be there: line, overtime minutes."),
            _l("A night shift belongs to the day on which it starts. Shifts and lines by their short names."),
            DAYS,
        ),
        read=read_roster,
    ),
    FileKind.ABSENCES: PlanKind(
        title=_l("Bring absences"),
        lead=_l("One row for an absence. No reason is asked and none is kept."),
        columns=AWAY_COLUMNS,
        notes=(_l("Needed: employee number, first day away, last day away; both days are in."), DAYS),
        read=read_absences,
    ),
}


def _coordinator(request: ActorRequest) -> Person:
    """Return who brings files in here, or refuse."""
    person = request.actor.person
    if person is None or not may_import(request.actor):
        raise PermissionDenied
    return person


def _kind(kind: str) -> PlanKind:
    if kind not in KINDS:
        raise Http404
    return KINDS[kind]


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def import_plan_file(request: ActorRequest, kind: str) -> HttpResponse:
    """Take a spreadsheet to look at; one with faults is not kept, and every fault is shown."""
    person, plan = _coordinator(request), _kind(kind)
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = FileForm(*sent, extensions=EXTENSIONS, help_text=_("CSV or XLSX; the first row holds the headings."))
    context: dict[str, Any] = {"form": form, "plan": plan, "kind": kind}
    if form.is_valid():
        file = form.cleaned_data["file"]
        name, content = file.name or _("without a name"), file.read()
        found = plan.read(content, on=request.actor.on, known=known_plan(person.plant))
        if not found.faults:
            upload = Upload(kind=FileKind(kind), name=name, content=content)
            pending = keep_file(upload=upload, by=person, now=timezone.now())
            return redirect("competencies:plan-preview", kind=kind, pending_id=pending.pk)
        form.add_error("file", _("%(name)s has faults; nothing of it was kept.") % {"name": name})
        context["faults"] = remark_rows(found.faults)
    return render(request, "competencies/import_plan.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def plan_preview(request: ActorRequest, kind: str, pending_id: int) -> HttpResponse:
    """Show the rows of the file and what to look at twice; take them on a yes."""
    person, plan = _coordinator(request), _kind(kind)
    # Another coordinator's file is not there for you: each decides on the file that they looked at.
    files = PendingFile.objects.select_related("plant")
    pending = get_object_or_404(files, pk=pending_id, kind=kind, uploaded_by=person, plant=person.plant)
    known = known_plan(pending.plant)
    found = plan.read(bytes(pending.content), on=request.actor.on, known=known)
    form = PlanDecisionForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and not found.faults:
        try:
            messages.success(request, _taken(pending, found, person))
        except AbsenceError as error:
            form.add_error(None, str(error))
        else:
            return redirect("competencies:imports")
    context = {
        "pending": pending,
        "plan": plan,
        "form": form,
        "heads": [_("Employee number"), _("Name"), *(column.capitalize() for column in plan.columns[1:])],
        "rows": _rows(found, known),
        "faults": remark_rows(found.faults),
        "warnings": remark_rows(found.warnings),
    }
    return render(request, "competencies/plan_preview.html", context)


def _taken(pending: PendingFile, found: PlanFile, person: Person) -> str:
    """Take the file, and return what to say of it. Raises AbsenceError."""
    if pending.kind == FileKind.ROSTER:
        result = take_roster(pending=pending, rows=found.roster)
        counts = {"created": result.created, "updated": result.updated}
        return _("%(created)s shifts are new in the roster, %(updated)s were there already.") % counts
    count = take_absences(pending=pending, rows=found.away, by=Signer(person, "import"), now=timezone.now())
    return _("%(count)s absences are entered.") % {"count": count}


def _rows(found: PlanFile, known: KnownPlan) -> list[list[str]]:
    def named(number: str, *cells: date | str | int) -> list[str]:
        return [number, known.people[number].name, *(str(cell) for cell in cells)]

    if found.away:
        return [named(row.works_number, row.from_on, row.until_on) for row in found.away]
    return [named(row.works_number, row.on, row.shift, row.line or "–", row.overtime_minutes) for row in found.roster]


@login_required
@require_safe
def plan_template(request: ActorRequest, kind: str, form: str) -> HttpResponse:
    """Give an empty spreadsheet with the headings, as CSV or XLSX."""
    _coordinator(request)
    plan, file = _kind(kind), BytesIO()
    if form not in set(TableForm):
        raise Http404
    write_table(file, TableForm(form), name=kind, heads=plan.columns, rows=[])
    headers = {"Content-Disposition": f'attachment; filename="{kind}.{form}"'}
    return HttpResponse(file.getvalue(), content_type=TableForm(form).content_type, headers=headers)
