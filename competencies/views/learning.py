"""The learner's own pages: what I may do, learn and do next, and one task in full."""

from collections.abc import Iterable
from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from competencies.forms.learning import AcknowledgementForm
from competencies.middleware import ActorRequest
from competencies.models import Person, Task
from competencies.operations.decisions import When, acknowledge
from competencies.operations.pins import PinError, prove_pin
from competencies.operations.recording import RefusedError
from competencies.queries.facts import rule_of
from competencies.queries.induction import FIRST_DAYS
from competencies.queries.learning import calculations_of, my_page, procedure_on, progress_now
from competencies.queries.outcomes import newest_outcome
from competencies.queries.signatures import Signature, signatures
from competencies.standing.facts import Scope
from competencies.standing.runs import Verdict
from competencies.views.faults import add_refusals
from competencies.views.loading import own_plant, person_at_keyboard, place_in, task_in


@login_required
@require_safe
def my_own_page(request: ActorRequest) -> HttpResponse:
    """Show what I may do alone, what I learn, and what comes next and why."""
    me = person_at_keyboard(request.actor)
    page = my_page(me, now=timezone.now(), on=request.actor.on)
    context = {"page": page, "me": me, "is_starter": request.actor.on - me.started_on < timedelta(days=FIRST_DAYS)}
    return render(request, "competencies/my_page.html", context)


@login_required
@require_http_methods(["GET", "POST"])
def my_task(request: ActorRequest, task_code: str) -> HttpResponse:
    """Show one task as its learner needs it, or acknowledge its new revision."""
    me, plant = person_at_keyboard(request.actor), own_plant(request.actor)
    task = task_in(plant, task_code)
    scope, places = _place(request, me, task)
    now = timezone.now()
    rule, period, progress = progress_now(me, task, scope, now=now)
    due = next((each for each in period.reasons if each.code in {"acknowledgement_due", "not_acknowledged"}), None)
    form = AcknowledgementForm(request.POST or None) if due else None
    if form and due and request.method == "POST" and form.is_valid():
        revision = int(dict(due.params)["revision"])
        if _acknowledged(request, form, task, scope, revision):
            return redirect("competencies:my-page")
    context = {
        "task": task,
        "scope": scope,
        "places": places,
        "period": period,
        "progress": progress,
        "runs": _runs(rule.verdicts(task.code, scope)),
        "revision": procedure_on(task, request.actor.on),
        "calculations": calculations_of([task.pk], on=request.actor.on),
        "due": due,
        "outcome": newest_outcome(rule, task.code, scope),
        "form": form,
    }
    return render(request, "competencies/my_task.html", context)


def _place(request: ActorRequest, me: Person, task: Task) -> tuple[Scope, list[Scope]]:
    """Return the place that the address names, else the first the person has entries at, and all of those."""
    places = list(rule_of(me).scopes_of(task.code))
    asked = request.GET.get("scope")
    if asked is None:
        return (places[0] if places else Scope()), places
    return place_in(own_plant(request.actor), task, asked), places


def _runs(verdicts: Iterable[Verdict]) -> list[tuple[Verdict, Signature | None]]:
    """Return each run with what speaks against it and how it was signed."""
    verdicts = list(verdicts)
    signed = signatures([each.run.seq for each in verdicts])
    return [(each, signed.get(each.run.seq)) for each in verdicts]


def _acknowledged(request: ActorRequest, form: AcknowledgementForm, task: Task, scope: Scope, revision: int) -> bool:
    """Sign that the revision was read, or name at the form what stands against it."""
    now, me = timezone.now(), person_at_keyboard(request.actor)
    try:
        holder = prove_pin(person=me, pin=form.cleaned_data["pin"], now=now)
        when = When(happened_at=now, on=request.actor.on, now=now)
        acknowledge(holder=holder, task=task, scope=scope, revision=revision, when=when)
    except PinError as error:
        form.add_error("pin", str(error))
    except RefusedError as error:
        add_refusals(form, error)
    else:
        messages.success(request, _("Revision %(number)s is acknowledged.") % {"number": revision})
        return True
    return False
