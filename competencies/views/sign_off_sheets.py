"""The record of an assessment and the certificate of a sign-off on paper: registered, and worked out at a check."""

from typing import Final

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.middleware import ActorRequest
from competencies.models import Person, Task
from competencies.operations.paper import register_explanation
from competencies.permissions import may_print_record
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.printing.records import proof_of
from competencies.printing.sign_off_sheets import SignOffSheet, sign_off_pdf
from competencies.queries.chain import sign_off_chain
from competencies.queries.explanation import explanation
from competencies.queries.outcomes import outcome_of
from competencies.views.loading import NUMBER_DIGITS, own_plant, task_in
from competencies.views.people import person_shown
from competencies.views.records import as_file
from competencies.vocabulary import SheetKind

KINDS: Final = frozenset({SheetKind.ASSESSMENT, SheetKind.CERTIFICATE})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def sign_off_print(
    request: ActorRequest, person_id: int, task_code: str, entry_seq: int, sheet_kind: str
) -> HttpResponse:
    """Print what was asked for; a look leads back to the page of the chain, since each print is registered."""
    person = person_shown(request, person_id)
    if not may_print_record(request.actor, person):
        raise PermissionDenied
    task = task_in(own_plant(request.actor), task_code)
    if sheet_kind not in KINDS or len(str(entry_seq)) > NUMBER_DIGITS:
        raise Http404
    sheet = _sheet(person, task, entry_seq)
    back = redirect("competencies:sign-off-chain", person.pk, task.code, entry_seq)
    if request.method != "POST":
        return back
    kind = SheetKind(sheet_kind)
    if fault := _fault(sheet, kind):
        messages.error(request, fault)
        return back
    now = timezone.now()
    registered = register_explanation(explained=sheet.explained, printed_by=request.actor.person, now=now, kind=kind)
    address = request.build_absolute_uri(reverse("competencies:sheet-check", args=[registered.sheet.code]))
    proof = proof_of(registered, address, known=None, now=now)
    return as_file(sign_off_pdf(sheet, kind, registered, proof), registered.sheet.code)


def _sheet(person: Person, task: Task, seq: int) -> SignOffSheet:
    """Return what the sheet shows of an assessment now, or answer that there is none."""
    chain = sign_off_chain(person.plant, person, task, seq)
    if chain is None:
        raise Http404
    explained = explanation(person, task, chain.record.fact.scope, moment=timezone.now())
    return SignOffSheet(chain=chain, explained=explained, outcome=outcome_of(person, chain.record.fact))


def _fault(sheet: SignOffSheet, kind: SheetKind) -> str:
    """Return why it cannot be printed; "" where it can."""
    if kind is SheetKind.CERTIFICATE and not sheet.is_certifiable:
        return _("No certificate: this sign-off is not in force today, or another one has taken its place.")
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        return _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
    return ""
