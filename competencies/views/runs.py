"""Supervised runs: logged on the floor, confirmed by the PIN of whoever watched."""

from datetime import datetime

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from competencies.forms.fields import new_token
from competencies.forms.runs import PlaceForm, RunForm
from competencies.ledger.writer import Appended
from competencies.middleware import ActorRequest
from competencies.models import Assignment, Person, Plant, Shift
from competencies.operations.assignments import AssignmentClosedError
from competencies.operations.pins import PinError, Signer, prove_pin
from competencies.operations.recording import OnTask, RefusedError
from competencies.operations.runs import RunDetails, record_run, run_refusals
from competencies.permissions import may_log_run
from competencies.queries.floor import people_to_ask
from competencies.queries.induction import comes_too_early, gates_before
from competencies.queries.runs import NoProcedureError, RunPlace, RunSheet, moment_in_shift, run_sheet, shift_at
from competencies.views.faults import add_refusals
from competencies.views.floor import Shown
from competencies.views.loading import own_plant, person_at_keyboard


@login_required
@require_http_methods(["GET", "POST"])
def run_log(request: ActorRequest, assignment_id: int) -> HttpResponse:
    """Log the run that an assignment asks for, and close the assignment."""
    plant = own_plant(request.actor)
    if not may_log_run(request.actor):
        raise PermissionDenied
    assignment = get_object_or_404(
        Assignment.objects.select_related(
            "person__plant", "task__area", "task__plant", "line", "machine__line", "shift", "trainer"
        ),
        pk=assignment_id,
        plant=plant,
    )
    if assignment.state != Assignment.State.PLANNED and request.method == "GET":
        messages.info(request, _("That assignment is closed: the run is recorded, or it was called off."))
        return redirect(Shown(assignment.on).address())
    place = RunPlace(
        trainee=assignment.person,
        task=assignment.task,
        on=assignment.on,
        shift=assignment.shift,
        line=assignment.line,
        machine=assignment.machine,
    )
    return _run_page(request, place, assignment)


@login_required
@require_http_methods(["GET", "POST"])
def run_new(request: ActorRequest) -> HttpResponse:
    """Log a run that nobody asked for beforehand; the address says whose, of what, when and where."""
    plant = own_plant(request.actor)
    if not may_log_run(request.actor):
        raise PermissionDenied
    form = _place_form(request, plant)
    if not form.is_valid():
        return render(request, "competencies/run_place.html", {"form": form})
    return _run_page(request, form.place(), None)


def _place_form(request: ActorRequest, plant: Plant) -> PlaceForm:
    """Return the questions before the run: what the address leaves open is the shift that is running."""
    shifts = list(Shift.objects.filter(plant=plant).order_by("starts"))
    running = shift_at(shifts, now=timezone.now(), today=request.actor.on, zone=plant.timezone)
    shift, on = running or (next(iter(shifts), None), request.actor.on)
    asked = {"on": on.isoformat(), "shift": shift.name if shift else "", **request.GET.dict()}
    is_asked = "person" in asked and "task" in asked
    return PlaceForm(
        asked if is_asked else None, initial=asked, plant=plant, people=people_to_ask(plant, on=request.actor.on)
    )


def _run_page(request: ActorRequest, place: RunPlace, assignment: Assignment | None) -> HttpResponse:
    """Show the sheet of a run, or record it and go back to the floor."""
    context: dict[str, object] = {"place": place, "assignment": assignment, "back_url": Shown(place.on).address()}
    if place.scope is None:
        return render(request, "competencies/run_impossible.html", context)
    now = timezone.now()
    try:
        sheet = run_sheet(place, place.scope, now=now, on_coming="coming" in request.GET)
    except NoProcedureError:
        return render(request, "competencies/run_impossible.html", context)
    watcher = assignment.trainer if assignment else person_at_keyboard(request.actor)
    form = RunForm(request.POST or None, initial={"token": new_token(), "watcher": watcher.pk}, sheet=sheet)
    if request.method == "POST" and form.is_valid() and (appended := _recorded(form, assignment)):
        messages.success(request, _outcome(form, appended))
        return redirect(Shown(place.on).address())
    if not form.is_bound:
        context |= _known_against(sheet, watcher, now)
    return render(request, "competencies/run_log.html", {**context, "form": form, "sheet": sheet})


def _known_against(sheet: RunSheet, watcher: Person, now: datetime) -> dict[str, object]:
    """Return what stands against the run before anybody watches it, with the one who is meant to."""
    place = sheet.place
    happened_at = moment_in_shift(place.shift, place.on, now=now, zone=place.task.plant.timezone) or now
    details = RunDetails(on=place.on, shift=place.shift.name, happened_at=happened_at, revision=sheet.revision.number)
    on_task = OnTask(person=place.trainee, task=place.task, scope=sheet.scope)
    refused, uncounted = run_refusals(on_task=on_task, supervisor=Signer(watcher, ""), details=details, now=now)
    return {"refused": refused, "uncounted": uncounted, "watcher": watcher}


def _recorded(form: RunForm, assignment: Assignment | None) -> Appended | None:
    """Record the run as the form has it; what stands against it is named at the form."""
    sheet, given, now = form.sheet, form.cleaned_data, timezone.now()
    place = sheet.place
    happened_at = moment_in_shift(place.shift, place.on, now=now, zone=place.task.plant.timezone)
    if happened_at is None:
        form.add_error(None, _("That shift has not begun yet."))
        return None
    gates = gates_before([place.trainee], on=place.on, now=happened_at).get(place.trainee.pk)
    if gates is not None and comes_too_early(gates, place.task):
        codes = ", ".join(step.task.code for step in gates.gates)
        form.add_error(None, _("The induction comes first: %(codes)s must be in force before.") % {"codes": codes})
        return None
    try:
        supervisor = prove_pin(person=given["watcher"], pin=given["pin"], now=now)
        return record_run(
            on_task=OnTask(person=place.trainee, task=place.task, scope=sheet.scope),
            supervisor=supervisor,
            details=_details(form, happened_at, assignment),
            observed=form.observed(),
            now=now,
            token=given["token"],
        )
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    except AssignmentClosedError:
        form.add_error(None, _("This assignment is closed: the run is recorded, or it was called off."))
    return None


def _details(form: RunForm, happened_at: datetime, assignment: Assignment | None) -> RunDetails:
    place, given = form.sheet.place, form.cleaned_data
    return RunDetails(
        on=place.on,
        shift=place.shift.name,
        happened_at=happened_at,
        revision=form.sheet.revision.number,
        range_values={} if given["stopped"] else form.range_values(),
        simulated=bool(given.get("simulated")),
        stopped=given["stopped"],
        assignment=assignment,
    )


def _outcome(form: RunForm, appended: Appended) -> str:
    """Return what the page says afterwards: what was written down, and that a second tap changed nothing."""
    names = {"name": form.sheet.place.trainee.name, "task": form.sheet.place.task.title, "seq": appended.seq}
    if appended.repeated:
        return _("This run of %(task)s by %(name)s was recorded already, as entry %(seq)s.") % names
    if form.cleaned_data["stopped"]:
        return (
            _("The stopped run of %(task)s by %(name)s is written down as entry %(seq)s and does not count.") % names
        )
    return _("The run of %(task)s by %(name)s is recorded as entry %(seq)s.") % names
