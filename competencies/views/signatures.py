"""Second signatures on critical tasks: the queue, and the record that is checked before signing."""

from collections.abc import Sequence
from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.assessments import SecondSignatureForm
from competencies.forms.fields import new_token
from competencies.ledger.writer import appended_under
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.decisions import When, sign_second, signature_refusals
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.operations.recording import RefusedError
from competencies.permissions import may_second_sign
from competencies.queries.assessments import AssessmentRecord, assessment_record
from competencies.queries.queues import waiting_for_second
from competencies.standing.refusals import Refusal
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard


@login_required
@require_safe
def signature_queue(request: ActorRequest) -> HttpResponse:
    """Show what this person may sign as the second, with the days left."""
    plant, me = own_plant(request.actor), person_at_keyboard(request.actor)
    if not may_second_sign(request.actor):
        raise PermissionDenied
    waiting = waiting_for_second(plant, signer=me, grants=request.actor.grants, on=request.actor.on)
    return render(request, "competencies/signature_queue.html", {"waiting": waiting})


@login_required
@require_http_methods(["GET", "POST"])
def sign(request: ActorRequest, entry_seq: int) -> HttpResponse:
    """Show the whole assessment as recorded, or sign it as the second person."""
    plant, me = own_plant(request.actor), person_at_keyboard(request.actor)
    if not may_second_sign(request.actor):
        raise PermissionDenied
    record = assessment_record(plant, entry_seq)
    if record is None:
        raise Http404
    if me.pk in {record.fact.person, record.fact.by}:
        raise PermissionDenied
    form = SecondSignatureForm(request.POST or None, initial={"token": new_token()})
    if request.method == "POST" and form.is_valid() and _signed(form, record, me, request):
        return redirect("competencies:signature-queue")
    refused = () if form.is_bound else _known_against(record, me, request)
    return render(request, "competencies/sign.html", {"record": record, "form": form, "refused": refused})


def _known_against(record: AssessmentRecord, me: Person, request: ActorRequest) -> Sequence[Refusal]:
    """Return what stands against the signature before the PIN is given."""
    now = timezone.now()
    when = When(happened_at=now, on=request.actor.on, now=now)
    return signature_refusals(
        assessment=record.fact, trainee=record.trainee, task=record.task, signer=Signer(me, ""), when=when
    )


def _signed(form: SecondSignatureForm, record: AssessmentRecord, me: Person, request: ActorRequest) -> bool:
    """Sign, or name at the form what stands against it."""
    now: datetime = timezone.now()
    token = form.cleaned_data["token"]
    names = {"name": record.trainee.name, "task": record.task.title}
    if appended_under(token):
        messages.info(request, _("%(name)s, %(task)s: that was signed already.") % names)
        return True
    try:
        signer = prove_pin(person=me, pin=form.cleaned_data["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        signed = sign_second(
            assessment=record.fact, trainee=record.trainee, task=record.task, signer=signer, when=when, token=token
        )
    except PinError as error:
        form.add_error("pin", str(error))
        return False
    except RefusedError as error:
        add_refusals(form, error)
        return False
    messages.success(request, _("%(name)s, %(task)s: signed as entry %(seq)s.") % {**names, "seq": signed.seq})
    return True
