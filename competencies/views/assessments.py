"""Assessments: who waits for one, and the page on which one is signed."""

from collections.abc import Sequence
from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.assessments import AssessmentForm, PerformanceForm
from competencies.forms.fields import new_token
from competencies.ledger.writer import Appended, appended_under
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.assessing import ShownChangedError, assess_as_shown, refusals_beforehand
from competencies.operations.decisions import When
from competencies.operations.pins import PinError, prove_pin
from competencies.operations.recording import RefusedError
from competencies.permissions import Actor, may_assess
from competencies.queries.assessments import AssessmentSheet, NothingToAssessError, assessment_sheet
from competencies.queries.queues import Waiting, candidates, prospects
from competencies.standing.refusals import Refusal
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, person_in, place_in, task_in
from competencies.vocabulary import AuthorityKind, Outcome

PAGE_SIZE = 25
KEPT_TYPING = ("feedback", "practise", "on", "ended")


@login_required
@require_safe
def assessment_queue(request: ActorRequest) -> HttpResponse:
    """Show who waits for an assessment in the areas of the assessor."""
    plant, me = own_plant(request.actor), person_at_keyboard(request.actor)
    if not may_assess(request.actor):
        raise PermissionDenied
    now = timezone.now()
    found = candidates(plant, areas=_areas(request.actor), moment=now, on=request.actor.on, without=me)
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "rows": prospects(list(page), assessor=me, moment=now),
        "counts": [(why.value, sum(1 for each in found if each.why is why)) for why in Waiting],
    }
    return render(request, "competencies/assessment_queue.html", context)


def _areas(actor: Actor) -> set[int] | None:
    """Return the areas that the actor assesses in; None for the whole plant."""
    areas = {area for kind, area in actor.grants if kind is AuthorityKind.ASSESS}
    return None if None in areas else {area for area in areas if area is not None}


@login_required
@require_http_methods(["GET", "POST"])
def assess_person(request: ActorRequest, person_id: int, task_code: str) -> HttpResponse:
    """Show what lies before the assessor, or sign the assessment."""
    plant, me = own_plant(request.actor), person_at_keyboard(request.actor)
    trainee, task = person_in(plant, person_id), task_in(plant, task_code)
    scope = place_in(plant, task, request.GET.get("scope", ""))
    if not may_assess(request.actor):
        raise PermissionDenied
    token = request.POST.get("token", "")
    if token and appended_under(token):
        messages.info(request, _("That assessment was signed already."))
        return redirect("competencies:assessment-queue")
    now = timezone.now()
    moment = PerformanceForm(request.POST).moment(now=now, zone=plant.timezone) if request.POST else now
    try:
        sheet = assessment_sheet(trainee, task, scope, moment=moment, on_coming="coming" in request.GET)
    except NothingToAssessError:
        return render(request, "competencies/assess_nothing.html", {"trainee": trainee, "task": task}, status=409)
    if request.method == "POST":
        return _answer(request, sheet, now)
    return _page(request, sheet, refused=refusals_beforehand(sheet=sheet, assessor=me, now=now))


def _page(
    request: ActorRequest,
    sheet: AssessmentSheet,
    *,
    form: AssessmentForm | None = None,
    changed: bool = False,
    refused: Sequence[Refusal] = (),
) -> HttpResponse:
    """Show the sheet with a form: a new one covers what is shown now."""
    if form is None:
        kept = {name: request.POST.get(name, "") for name in KEPT_TYPING if name in request.POST}
        initial = {"on": request.actor.on, **kept, "token": new_token(), "shown": sheet.digest()}
        form = AssessmentForm(None, initial=initial, sheet=sheet, today=request.actor.on)
    context = {"sheet": sheet, "form": form, "changed": changed, "refused": refused}
    return render(request, "competencies/assess.html", context, status=409 if changed else 200)


def _answer(request: ActorRequest, sheet: AssessmentSheet, now: datetime) -> HttpResponse:
    """Sign what was sent, or show again what stands against it."""
    form = AssessmentForm(request.POST, sheet=sheet, today=request.actor.on)
    if request.POST.get("shown") != sheet.digest():
        return _page(request, sheet, changed=True)
    if not form.is_valid():
        return _page(request, sheet, form=form)
    try:
        appended = _signed(form, person_at_keyboard(request.actor), now)
    except ShownChangedError:
        return _page(request, sheet, changed=True)
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        messages.success(request, _said(sheet, form, appended))
        return redirect("competencies:assessment-queue")
    return _page(request, sheet, form=form)


def _signed(form: AssessmentForm, me: Person, now: datetime) -> Appended:
    sheet = form.sheet
    assessor = prove_pin(person=me, pin=form.cleaned_data["pin"], now=now)
    when = When(happened_at=sheet.moment, on=sheet.on, now=now)
    return assess_as_shown(
        sheet=sheet, assessor=assessor, verdict=form.verdict(), when=when, token=form.cleaned_data["token"]
    )


def _said(sheet: AssessmentSheet, form: AssessmentForm, appended: Appended) -> str:
    """Return what the page says afterwards, and what is still needed."""
    names = {
        "name": sheet.trainee.name,
        "task": sheet.task.title,
        "seq": appended.seq,
        "day": date_format(sheet.second_by, "j F Y"),
    }
    if form.cleaned_data["outcome"] == Outcome.NOT_YET_COMPETENT:
        return _("%(name)s, %(task)s: not yet competent, signed as entry %(seq)s.") % names
    if sheet.second_roles:
        return (
            _("%(name)s, %(task)s: competent, signed as entry %(seq)s. The second signature is wanted by %(day)s.")
            % names
        )
    return _("%(name)s, %(task)s: competent, signed as entry %(seq)s.") % names
