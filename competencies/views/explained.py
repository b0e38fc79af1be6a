"""The explanation of a standing on paper: registered, with a code by which anybody can check it."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.middleware import ActorRequest
from competencies.operations.paper import register_explanation
from competencies.permissions import may_print_record
from competencies.printing.explanations import explanation_pdf
from competencies.printing.pdf import PdfUnavailableError, require_press
from competencies.printing.records import proof_of
from competencies.queries.answers import TwoAnswers, two_answers
from competencies.queries.chain import sign_off_chain
from competencies.queries.explanation import Explanation, explanation
from competencies.views.clocks import Asked, clocks_asked
from competencies.views.loading import own_plant, place_in, task_in
from competencies.views.people import person_shown
from competencies.views.records import as_file


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def print_explanation(request: ActorRequest, person_id: int, task_code: str) -> HttpResponse:
    """Print where a person stands on a task and why, with the clocks that the address names.

    Only what is sent is printed, since each print is registered; a look leads back to the page itself.
    """
    person = person_shown(request, person_id)
    if not may_print_record(request.actor, person):
        raise PermissionDenied
    plant = own_plant(request.actor)
    task = task_in(plant, task_code)
    asked = clocks_asked(request)
    back = reverse("competencies:person-task", args=[person.pk, task.code]) + asked.address()
    if request.method != "POST":
        return redirect(back)
    try:
        require_press()
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        text = _("Nothing can be printed on this server before it has: %(packages)s") % {"packages": packages}
        messages.error(request, text)
        return redirect(back)
    scope = place_in(plant, task, request.GET.get("scope", ""))
    found = explanation(person, task, scope, moment=asked.moment, known=asked.known)
    registered = register_explanation(explained=found, printed_by=request.actor.person, now=asked.now)
    address = request.build_absolute_uri(reverse("competencies:sheet-check", args=[registered.sheet.code]))
    pdf = explanation_pdf(
        found,
        proof_of(registered, address, known=found.known, now=asked.now),
        answers=_answers(found, asked),
        chains=[
            chain for seq in found.period.rests_on if (chain := sign_off_chain(plant, person, task, seq)) is not None
        ],
    )
    return as_file(pdf, registered.sheet.code)


def _answers(found: Explanation, asked: Asked) -> TwoAnswers | None:
    if asked.then >= asked.now:
        return None
    return two_answers(found.person, found.task, found.scope, moment=found.moment, then_at=asked.then)
