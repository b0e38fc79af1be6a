"""What the office decides about a task: first trainers, another class of a revision, other terms."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from competencies.forms.task_changes import FirstTrainerForm, ReclassifyForm, TermsForm
from competencies.middleware import ActorRequest
from competencies.models import Person, Task, TaskCalculation, TaskRevision
from competencies.operations.decisions import When
from competencies.operations.initial_trainers import name_initial_trainer
from competencies.operations.reclassifying import reclassify_revision
from competencies.operations.recording import OnTask, RefusedError
from competencies.operations.terms import AskedCalculation, change_terms
from competencies.permissions import may_decide_on_task
from competencies.queries.frame import frame_of
from competencies.queries.initial_trainers import first_trainers, places_of
from competencies.queries.previews import Touched, touched_by, with_major, with_terms
from competencies.standing.framework import Terms
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, task_in
from competencies.views.proving import both_proven, proven

PAGE_SIZE = 50


def _task(request: ActorRequest, task_code: str) -> Task:
    """Return a task that the actor decides about."""
    task = task_in(own_plant(request.actor), task_code)
    if not may_decide_on_task(request.actor, task):
        raise PermissionDenied
    return task


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def first_trainer(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show who was named first at a task, until when; name another."""
    task = _task(request, task_code)
    revisions = list(TaskRevision.objects.filter(task=task).order_by("-number")[:3])
    form = FirstTrainerForm(request.POST or None, task=task, scopes=places_of(task), revisions=revisions)
    if request.method == "POST" and form.is_valid() and _was_named(request, form, task):
        messages.success(request, _("%(name)s is named.") % {"name": form.cleaned_data["person"].name})
        return redirect("competencies:task", task.code)
    context = {
        "task": task,
        "form": form,
        "named": first_trainers(task, on=request.actor.on),
        "days": frame_of(task.plant).policy_on(request.actor.on).initial_trainer_days,
    }
    return render(request, "competencies/first_trainer.html", context)


def _was_named(request: ActorRequest, form: FirstTrainerForm, task: Task) -> bool:
    now = timezone.now()
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    person: Person = form.cleaned_data["person"]
    when = When(happened_at=now, on=request.actor.on, now=now)
    on_task = OnTask(person=person, task=task, scope=form.place())
    try:
        name_initial_trainer(on_task=on_task, revision=form.cleaned_data["revision"], by=by, when=when)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    return True


@sensitive_post_parameters("pin", "second_pin")
@login_required
@require_http_methods(["GET", "POST"])
def reclassify(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show who would stop counting if the newest minor revision were a major one; make it one."""
    task = _task(request, task_code)
    revision = _minor_revision(task, request.GET.get("revision", ""))
    form = ReclassifyForm(request.POST or None, plant=task.plant, first=person_at_keyboard(request.actor))
    if request.method == "POST" and form.is_valid() and _was_reclassified(request, form, revision):
        messages.success(request, _("Revision %(number)s is a major one from today.") % {"number": revision.number})
        return redirect("competencies:task", task.code)
    changed = with_major(frame_of(task.plant), task.code, revision.number, now=timezone.now())
    context = {"task": task, "revision": revision, "form": form}
    context |= _touched(request, touched_by(task.plant, changed, task.code, now=timezone.now()))
    return render(request, "competencies/reclassify.html", context)


def _minor_revision(task: Task, number: str) -> TaskRevision:
    """Return the revision that the address names, else the newest that is a minor one."""
    rows = TaskRevision.objects.filter(task=task, change="minor", reclassified_at=None).select_related("task__plant")
    if number.isdecimal():
        rows = rows.filter(number=int(number[:9]))
    found = rows.order_by("-number").first()
    if found is None:
        raise Http404
    return found


def _was_reclassified(request: ActorRequest, form: ReclassifyForm, revision: TaskRevision) -> bool:
    now = timezone.now()
    both = both_proven(form, person_at_keyboard(request.actor), now=now)
    if both is None:
        return False
    try:
        reclassify_revision(revision=revision, by=both[0], second=both[1], now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    return True


@sensitive_post_parameters("pin")
@login_required
@require_http_methods(["GET", "POST"])
def terms(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show what a task asks; show whom other terms would touch; change them from a day on."""
    task = _task(request, task_code)
    frame, on = frame_of(task.plant), request.actor.on
    now = timezone.now()
    form = TermsForm(
        request.POST or None, task=task, terms=frame.tasks[task.code].terms_on(on), policy=frame.policy_on(on), on=on
    )
    context: dict[str, Any] = {"task": task, "form": form}
    if request.method == "POST" and form.is_valid():
        asked = form.terms(recorded_at=now)
        if "sign" in request.POST and _were_changed(request, form, task, asked, now):
            messages.success(request, _("The terms are set. Earlier answers stay as they were."))
            return redirect("competencies:task", task.code)
        changed = with_terms(frame, task.code, asked)
        context |= {"shown": True, **_touched(request, touched_by(task.plant, changed, task.code, now=now))}
    return render(request, "competencies/terms.html", context)


def _were_changed(request: ActorRequest, form: TermsForm, task: Task, asked: Terms, now: datetime) -> bool:
    by = proven(form, person_at_keyboard(request.actor), field="pin", now=now)
    if by is None:
        return False
    try:
        change_terms(task=task, terms=asked, calculations=_calculations(task, asked), by=by, now=now)
    except RefusedError as error:
        add_refusals(form, error)
        return False
    return True


def _calculations(task: Task, asked: Terms) -> list[AskedCalculation]:
    """Return the calculations asked, each with the problems and the pass mark that it had in the task before."""
    rows = TaskCalculation.objects.filter(terms__task=task).order_by("terms__effective_on", "terms__recorded_at")
    before = {row.calculation: AskedCalculation(row.calculation, row.problems, row.pass_mark) for row in rows}
    return [before.get(code, AskedCalculation(code)) for code in asked.calculations]


def _touched(request: ActorRequest, found: Sequence[Touched]) -> dict[str, Any]:
    page = Paginator(found, PAGE_SIZE).get_page(request.GET.get("page"))
    return {"page": page, "stopping": sum(each.stops for each in found)}
