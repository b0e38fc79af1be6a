"""Files in: a syllabus or a spreadsheet of people is read, shown, and taken or thrown away. Coordinators only."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from competencies.forms.imports import FileForm, PeopleDecisionForm, SyllabusDecisionForm
from competencies.importing.differences import differences
from competencies.importing.people_file import read_people
from competencies.importing.people_template import csv_template, xlsx_template
from competencies.importing.syllabus import SyllabusFile
from competencies.importing.syllabus_file import SyllabusFileError, read_syllabus_bytes
from competencies.importing.syllabus_text import write_syllabus
from competencies.middleware import ActorRequest
from competencies.models import PendingFile, Person
from competencies.operations.imports import FileKind, Upload, keep_file, take_people, take_syllabus, throw_away
from competencies.operations.people import PeopleError
from competencies.operations.pins import Signer
from competencies.operations.syllabus import SyllabusDecision, SyllabusError
from competencies.permissions import may_import
from competencies.queries.syllabus import current_syllabus, in_use, known_plant
from competencies.views.import_tables import changed_blocks, fault_rows, new_rows, people_rows, remark_rows

XLSX_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def _coordinator(request: ActorRequest) -> Person:
    """Return who brings files in here, or refuse."""
    person = request.actor.person
    if person is None or not may_import(request.actor):
        raise PermissionDenied
    return person


def _waiting(person: Person, pending_id: int, kind: FileKind) -> PendingFile:
    # Another coordinator's file is not there for you: each decides on the file that they looked at.
    files = PendingFile.objects.select_related("plant")
    return get_object_or_404(files, pk=pending_id, kind=kind, uploaded_by=person, plant=person.plant)


def _syllabus_form(*args: Any) -> FileForm:  # noqa: ANN401 - POST data and files, as the base class has them
    help_text = _("A YAML file with areas, tasks, unit standards; a part of it will do.")
    return FileForm(*args, extensions=("yaml", "yml"), help_text=help_text)


def _people_form(*args: Any) -> FileForm:  # noqa: ANN401 - POST data and files, as the base class has them
    help_text = _("CSV or XLSX; the first row holds the headings.")
    return FileForm(*args, extensions=("csv", "txt", "tsv", "xlsx"), help_text=help_text)


def _content(form: FileForm) -> tuple[str, bytes]:
    file: UploadedFile = form.cleaned_data["file"]
    return file.name or _("without a name"), file.read()


@login_required
@require_safe
def imports(request: ActorRequest) -> HttpResponse:
    """Show what may be brought in, and the files of this person that wait for a yes or no."""
    person = _coordinator(request)
    waiting = PendingFile.objects.filter(uploaded_by=person, plant=person.plant).defer("content").order_by("kind")
    return render(request, "competencies/imports.html", {"waiting": waiting})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def import_syllabus_file(request: ActorRequest) -> HttpResponse:
    """Take a syllabus file to look at; one with faults is not kept, and every fault is shown."""
    person = _coordinator(request)
    form = _syllabus_form(request.POST, request.FILES) if request.method == "POST" else _syllabus_form()
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        name, content = _content(form)
        try:
            read_syllabus_bytes(content, name, current=current_syllabus(person.plant))
        except SyllabusFileError as error:
            form.add_error("file", _("%(name)s has faults; nothing of it was kept.") % {"name": name})
            context["faults"] = fault_rows(error.faults)
        else:
            upload = Upload(kind=FileKind.SYLLABUS, name=name, content=content)
            pending = keep_file(upload=upload, by=person, now=timezone.now())
            return redirect("competencies:syllabus-preview", pending_id=pending.pk)
    return render(request, "competencies/import_syllabus.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def syllabus_preview(request: ActorRequest, pending_id: int) -> HttpResponse:
    """Show what the file would change; take it when everything it leaves open is answered."""
    person = _coordinator(request)
    pending = _waiting(person, pending_id, FileKind.SYLLABUS)
    current = current_syllabus(pending.plant)
    context: dict[str, Any] = {"pending": pending}
    try:
        file = read_syllabus_bytes(bytes(pending.content), pending.name, current=current)
    except SyllabusFileError as error:
        # The plant has moved on since the file was read.
        return render(request, "competencies/syllabus_preview.html", {**context, "faults": fault_rows(error.faults)})
    found = differences(file, current, in_use=in_use(pending.plant))
    seconders = Person.objects.employed(request.actor.on).filter(plant=pending.plant).exclude(pk=person.pk)
    form = SyllabusDecisionForm(
        request.POST or None, seconders=seconders.order_by("name"), revised=found.revised, today=request.actor.on
    )
    if form.is_valid() and _take_syllabus(pending, file, form, person):
        messages.success(request, _("%(name)s was taken.") % {"name": pending.name})
        return redirect("competencies:imports")
    context |= {"form": form, "found": found, "new": new_rows(found), "blocks": changed_blocks(found)}
    return render(request, "competencies/syllabus_preview.html", context)


def _take_syllabus(pending: PendingFile, file: SyllabusFile, form: SyllabusDecisionForm, person: Person) -> bool:
    """Return whether the file was taken; why it was not is put on the form."""
    decision = SyllabusDecision(
        file=file,
        effective_on=form.cleaned_data["effective_on"],
        classes=form.classes,
        seconded_by=form.cleaned_data.get("seconded_by"),
    )
    try:
        take_syllabus(pending=pending, decision=decision, by=Signer(person, "import"), now=timezone.now())
    except SyllabusError as error:
        form.add_error(None, str(error))
        return False
    return True


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def import_people_file(request: ActorRequest) -> HttpResponse:
    """Take a spreadsheet of people to look at; one with faults is not kept, and every fault is shown."""
    person = _coordinator(request)
    form = _people_form(request.POST, request.FILES) if request.method == "POST" else _people_form()
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        name, content = _content(form)
        file = read_people(content, on=request.actor.on, known=known_plant(person.plant))
        if file.faults:
            form.add_error("file", _("%(name)s has faults; nothing of it was kept.") % {"name": name})
            context["faults"] = remark_rows(file.faults)
        else:
            upload = Upload(kind=FileKind.PEOPLE, name=name, content=content)
            pending = keep_file(upload=upload, by=person, now=timezone.now())
            return redirect("competencies:people-preview", pending_id=pending.pk)
    return render(request, "competencies/import_people.html", context)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def people_preview(request: ActorRequest, pending_id: int) -> HttpResponse:
    """Show the people of the file and what to look at twice; take them on a yes."""
    person = _coordinator(request)
    pending = _waiting(person, pending_id, FileKind.PEOPLE)
    known = known_plant(pending.plant)
    file = read_people(bytes(pending.content), on=request.actor.on, known=known)
    form = PeopleDecisionForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and not file.faults:
        try:
            result = take_people(pending=pending, rows=file.rows, by=Signer(person, "import"), now=timezone.now())
        except PeopleError as error:
            form.add_error(None, str(error))
        else:
            counts = {"created": result.created, "updated": result.updated, "unchanged": result.unchanged}
            messages.success(
                request, _("%(created)s people are new, %(updated)s changed, %(unchanged)s as they were.") % counts
            )
            return redirect("competencies:imports")
    context = {
        "pending": pending,
        "form": form,
        "rows": people_rows(file, known),
        "faults": remark_rows(file.faults),
        "warnings": remark_rows(file.warnings),
    }
    return render(request, "competencies/people_preview.html", context)


@login_required
@require_POST
def pending_discard(request: ActorRequest, pending_id: int) -> HttpResponseRedirect:
    """Throw a waiting file away."""
    person = _coordinator(request)
    pending = get_object_or_404(PendingFile, pk=pending_id, uploaded_by=person, plant=person.plant)
    throw_away(pending=pending)
    messages.info(request, _("%(name)s was thrown away; nothing of it was taken.") % {"name": pending.name})
    return redirect("competencies:imports")


@login_required
@require_safe
def syllabus_export(request: ActorRequest) -> HttpResponse:
    """Give the plant's syllabus as a file that can be changed and brought back."""
    person = _coordinator(request)
    text = write_syllabus(current_syllabus(person.plant))
    return _download(text.encode(), "syllabus.yaml", "application/yaml")


@login_required
@require_safe
def people_template(request: ActorRequest, form: str) -> HttpResponse:
    """Give an empty spreadsheet for people, as CSV or XLSX."""
    _coordinator(request)
    if form == "xlsx":
        return _download(xlsx_template(), "people.xlsx", XLSX_TYPE)
    return _download(csv_template(), "people.csv", "text/csv; charset=utf-8")


def _download(content: bytes, name: str, content_type: str) -> HttpResponse:
    return HttpResponse(
        content, content_type=content_type, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
