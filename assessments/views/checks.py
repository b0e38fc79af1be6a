"""Checks that count: opened by somebody else, sat under their eyes, written into the ledger once."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessments.forms.answering import AnswerForm
from assessments.forms.checks import OpenCheckForm
from assessments.generation import problem_of
from assessments.models import CheckSitting
from assessments.operations.checks import (
    CheckError,
    answer_check,
    call_off_check,
    finish_check,
    open_check,
    start_check,
)
from assessments.permissions import may_call_off_check, may_see_check, may_see_item_statistics, may_sit_check
from assessments.queries.checks import checks_asked, sittings_of
from assessments.queries.library import library_of
from assessments.views.check_words import check_facts, check_outcome, check_row, check_title
from assessments.views.shown import result_of, shown_givens
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.operations.pins import PinError, prove_pin
from competencies.operations.recording import RefusedError
from competencies.permissions import may_open_check
from competencies.views.loading import own_plant, person_at_keyboard
from competencies.views.table_files import ListTable, file_asked, table_file
from competencies.wording import sentence

PAGE_SIZE = 25


@login_required
@require_safe
def check_list(request: ActorRequest) -> HttpResponseBase:
    """List the plant's checks: open ones to go on with, the others to read."""
    plant = own_plant(request.actor)
    if not may_open_check(request.actor):
        raise PermissionDenied
    library = library_of(plant)
    sittings = sittings_of(plant)
    heads = [_("Trainee"), _("Calculation"), _("Opened"), _("Opened by"), _("How it stands")]
    if file := file_asked(request):
        rows = (check_row(sitting, library) for sitting in sittings)
        return table_file(request, file, ListTable(name="checks", heads=heads, rows=rows))
    page = Paginator(sittings, PAGE_SIZE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "heads": heads,
        "rows": [check_row(sitting, library) for sitting in page],
        "actions": _ways_from_list(request),
    }
    return render(request, "assessments/check_list.html", context)


def _ways_from_list(request: ActorRequest) -> list[dict[str, str]]:
    """Return where the list of checks leads to."""
    ways = [{"label": _("Open a check"), "url": reverse("assessments:check-open")}]
    if may_see_item_statistics(request.actor):
        url = reverse("assessments:item-list")
        ways.append({"label": _("How the problems do"), "url": url, "kind": "quiet"})
    return ways


@login_required
@require_http_methods(["GET", "POST"])
def check_open(request: ActorRequest) -> HttpResponse:
    """Open a check for a named trainee; the address may name trainee and calculation."""
    plant, opener = own_plant(request.actor), person_at_keyboard(request.actor)
    if not may_open_check(request.actor):
        raise PermissionDenied
    people = Person.objects.employed(request.actor.on).filter(plant=plant).exclude(pk=opener.pk).order_by("name")
    initial = {name: request.GET.get(name) for name in ("person", "calculation")}
    asked = checks_asked(plant, on=request.actor.on)
    form = OpenCheckForm(request.POST or None, initial=initial, people=people, asked=asked)
    if request.method == "POST" and form.is_valid() and (sitting := _opened(form, opener)):
        return redirect("assessments:check", sitting_id=sitting.pk)
    return render(request, "assessments/check_open.html", {"form": form, "asked": asked})


def _opened(form: OpenCheckForm, opener: Person) -> CheckSitting | None:
    given, asked, now = form.cleaned_data, form.check_asked(), timezone.now()
    try:
        return open_check(
            trainee=given["person"],
            opened_by=prove_pin(person=opener, pin=given["pin"], now=now),
            calculation=asked.calculation,
            problems=asked.problems,
            pass_mark=asked.pass_mark,
            now=now,
        )
    except PinError as error:
        form.add_error("pin", str(error))
    except CheckError as error:
        form.add_error(None, str(error))
    return None


@login_required
@require_safe
def check(request: ActorRequest, sitting_id: int) -> HttpResponse:
    """Show a check: how to go on while it is open, every answer with slips and steps once it is finished."""
    sitting = _sitting(request, sitting_id)
    if not may_see_check(request.actor, sitting):
        raise PermissionDenied
    answers, library = list(sitting.answers.order_by("number")), library_of(sitting.plant)
    context = {
        "sitting": sitting,
        "title": check_title(sitting, library),
        "facts": check_facts(sitting),
        "outcome": check_outcome(sitting),
        "answered": len(answers),
        "unit_word": _("problems"),
        "results": [result_of(answer, library) for answer in answers] if sitting.finished_at else [],
        "may_sit": may_sit_check(request.actor, sitting),
        "is_own": request.actor.person == sitting.trainee,
        "actions": _ways_on(request, sitting),
    }
    return render(request, "assessments/check.html", context)


def _ways_on(request: ActorRequest, sitting: CheckSitting) -> list[dict[str, str]]:
    """Return what the actor may do with an open check."""
    ways = []
    if may_sit_check(request.actor, sitting):
        label = _("Go to the check") if request.actor.person == sitting.trainee else _("Hand over this tablet")
        ways.append({"label": label, "url": reverse("assessments:check-sit", args=[sitting.pk])})
    if may_call_off_check(request.actor, sitting):
        url = reverse("assessments:check-call-off", args=[sitting.pk])
        ways.append({"label": _("Call off"), "url": url, "kind": "quiet"})
    return ways


@login_required
@require_http_methods(["GET", "POST"])
def check_sit(request: ActorRequest, sitting_id: int) -> HttpResponse:
    """Show the next problem of a check and take its answer; nothing is marked before the last one."""
    sitting = _sitting(request, sitting_id)
    if not may_sit_check(request.actor, sitting):
        raise PermissionDenied
    if sitting.finished_at or sitting.called_off_at:
        return redirect("assessments:check", sitting_id=sitting.pk)
    if sitting.started_at is None:
        return render(request, "assessments/check_start.html", {"sitting": sitting})
    number = sitting.answers.count() + 1
    if number > sitting.problems:
        return _finish(request, sitting)
    return _ask(request, sitting, number)


def _ask(request: ActorRequest, sitting: CheckSitting, number: int) -> HttpResponse:
    """Ask one problem, and go on to the next when it is answered."""
    code, seed = sitting.problem_seeds[number - 1]
    made = problem_of(library_of(sitting.plant).kind(code), seed)
    is_sent = request.method == "POST"
    form = AnswerForm(request.POST or None, problem=made, is_check=True, initial={"shown": str(number)})
    if is_sent and form.data.get("shown") != str(number):
        return redirect("assessments:check-sit", sitting_id=sitting.pk)  # sent twice: the first answer stands
    if is_sent and form.is_valid() and _answered(form, sitting, number):
        if number == sitting.problems:
            return _finish(request, sitting)
        return redirect("assessments:check-sit", sitting_id=sitting.pk)
    context = {"sitting": sitting, "number": number, "problem": made, "givens": shown_givens(made), "form": form}
    return render(request, "assessments/check_sit.html", context)


def _answered(form: AnswerForm, sitting: CheckSitting, number: int) -> bool:
    if form.mark is None:
        return False
    try:
        typed = form.cleaned_data["typed"]
        answer_check(sitting=sitting, number=number, typed=typed, mark=form.mark, now=timezone.now())
    except CheckError as error:
        form.add_error(None, str(error))
        return False
    return True


def _finish(request: ActorRequest, sitting: CheckSitting) -> HttpResponse:
    """Ask for the result to be written, or say what stands against it."""
    if request.method != "POST":
        return render(request, "assessments/check_finish.html", {"sitting": sitting})
    try:
        finish_check(sitting=sitting, on=request.actor.on, now=timezone.now())
    except CheckError as error:
        messages.error(request, str(error))
    except RefusedError as error:
        for refusal in error.refusals:
            messages.error(request, f"{capfirst(sentence(refusal))}.")
    return redirect("assessments:check", sitting_id=sitting.pk)


@login_required
@require_POST
def check_start(request: ActorRequest, sitting_id: int) -> HttpResponse:
    """Start the clock of a check."""
    sitting = _sitting(request, sitting_id)
    if not may_sit_check(request.actor, sitting):
        raise PermissionDenied
    start_check(sitting=sitting, now=timezone.now())
    return redirect("assessments:check-sit", sitting_id=sitting.pk)


@login_required
@require_http_methods(["GET", "POST"])
def check_call_off(request: ActorRequest, sitting_id: int) -> HttpResponse:
    """Call an open check off, after asking; nothing goes into the ledger."""
    sitting = _sitting(request, sitting_id)
    if not may_call_off_check(request.actor, sitting):
        raise PermissionDenied
    if request.method == "POST":
        try:
            call_off_check(sitting=sitting, now=timezone.now())
        except CheckError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("The check was called off. Nothing was recorded."))
        return redirect("assessments:check-list")
    return render(request, "assessments/check_call_off.html", {"sitting": sitting})


def _sitting(request: ActorRequest, sitting_id: int) -> CheckSitting:
    """Return a check of the actor's own plant."""
    sittings = CheckSitting.objects.select_related("plant", "trainee__plant", "opened_by")
    return get_object_or_404(sittings, pk=sitting_id, plant=own_plant(request.actor))
