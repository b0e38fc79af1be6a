"""The sheets of the desk: asking what for, registering, handing out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.forms import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from competencies.forms.sheets import AuditForm, CoverForm, MatrixForm, SheetForm, TaskCardForm
from competencies.middleware import ActorRequest
from competencies.operations.paper import register_statement
from competencies.permissions import Actor, may_print_card, may_print_records, may_see_plant
from competencies.printing.cover_sheet import cover_sheet
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.printing.records import proof_of
from competencies.printing.sheets import Sheet, sheet_pdf
from competencies.printing.task_card import CardAsked, NoProcedureError, task_card
from competencies.printing.wall_matrix import wall_matrix
from competencies.queries.standing import end_of_day
from competencies.views.jobs import start_job
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.records import as_file
from competencies.vocabulary import SheetKind
from competencies.wording.sheets import SHEETS

Chosen = Mapping[str, Any]
AUDIT_LEAD: Final = gettext_lazy(
    "One file for a line and a period: procedures, who was on and what they counted for, sign-offs with who stands"
    " behind them, corrections, an index with hashes. As known then and now; made in the background."
)


@dataclass(frozen=True, slots=True)
class DeskSheet:
    """A kind of sheet of the desk: what it is for, who may print it, its form, and what makes it."""

    lead: Promise
    may: Callable[[Actor], bool]
    form: type[SheetForm]
    make: Callable[[ActorRequest, Chosen], Sheet]


def _card(request: ActorRequest, chosen: Chosen) -> Sheet:
    task, machine = chosen["task"], chosen["machine"]
    place = f"?scope={machine.line.code}/{machine.code}" if machine else ""
    address = request.build_absolute_uri(reverse("competencies:task", args=[task.code]) + place)
    asked = CardAsked(task=task, machine=machine, person=chosen["person"], address=address)
    try:
        return task_card(asked, on=chosen["on"], now=timezone.now())
    except NoProcedureError:
        raise ValidationError(_("This task has no procedure in force on that day.")) from None


def _matrix(_request: ActorRequest, chosen: Chosen) -> Sheet:
    line, on = chosen["line"], chosen["on"]
    return wall_matrix(line, on=on, moment=end_of_day(on, line.plant))


def _cover(_request: ActorRequest, chosen: Chosen) -> Sheet:
    return cover_sheet(chosen["line"], chosen["shift"], on=chosen["on"])


DESK_SHEETS: Final[Mapping[SheetKind, DeskSheet]] = {
    SheetKind.TASK_CARD: DeskSheet(
        gettext_lazy(
            "One sheet for the floor, both sides: hazards first, boxes, readings, room for sums. No sign-off."
        ),
        may_print_card,
        TaskCardForm,
        _card,
    ),
    SheetKind.MATRIX: DeskSheet(
        gettext_lazy("The people of a line by its stations, on A3, legible at arm's length; void after 31 days."),
        may_see_plant,
        MatrixForm,
        _matrix,
    ),
    SheetKind.COVER: DeskSheet(
        gettext_lazy("Who stands where on a shift, who relieves, what ends in it, and room for decisions."),
        may_see_plant,
        CoverForm,
        _cover,
    ),
}


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def sheet_new(request: ActorRequest, sheet_kind: str) -> HttpResponse:
    """Ask what a sheet is to show, then print it; the address may name the choice beforehand."""
    plant = own_plant(request.actor)
    desk = DESK_SHEETS.get(SheetKind(sheet_kind)) if sheet_kind in set(SheetKind) else None
    if desk is None:
        raise Http404
    if not desk.may(request.actor):
        raise PermissionDenied
    form = desk.form(request.POST or None, plant=plant, today=request.actor.on, initial=request.GET.dict())
    if form.is_valid() and (response := _printed(request, desk, form)):
        return response
    context = {"form": form, "title": SHEETS[SheetKind(sheet_kind)], "lead": desk.lead}
    return render(request, "competencies/sheet_new.html", context)


def _printed(request: ActorRequest, desk: DeskSheet, form: SheetForm) -> HttpResponse | None:
    """Return the sheet; None where it cannot be made, which is then said at the form."""
    try:
        require_press()
        sheet = desk.make(request, form.cleaned_data)
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        form.add_error(
            None, _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        )
        return None
    except ValidationError as error:
        form.add_error(None, error)
        return None
    now = timezone.now()
    registered = register_statement(
        statement=sheet.statement, plant=sheet.plant, printed_by=person_at_keyboard(request.actor), now=now
    )
    address = request.build_absolute_uri(reverse("competencies:sheet-check", args=[registered.sheet.code]))
    pdf = sheet_pdf(sheet, registered, proof_of(registered, address, known=None, now=now))
    return as_file(pdf, registered.sheet.code)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def audit_new(request: ActorRequest) -> HttpResponse:
    """Ask for a line and a period, then have the audit pack made in the background."""
    plant = own_plant(request.actor)
    if not may_print_records(request.actor):
        raise PermissionDenied
    form = AuditForm(request.POST or None, plant=plant, today=request.actor.on)
    if form.is_valid():
        chosen = form.cleaned_data
        asked = {
            "line": chosen["line"].pk,
            "from_on": chosen["from_on"].isoformat(),
            "until_on": chosen["until_on"].isoformat(),
            "seed": chosen["seed"],
        }
        title = _("Audit pack: %(line)s, %(first)s to %(last)s") % {
            "line": chosen["line"].title,
            "first": date_format(chosen["from_on"], "j M Y"),
            "last": date_format(chosen["until_on"], "j M Y"),
        }
        return start_job(request, "audit", asked, title=title)
    context = {"form": form, "title": SHEETS[SheetKind.AUDIT], "lead": AUDIT_LEAD}
    return render(request, "competencies/sheet_new.html", context)
