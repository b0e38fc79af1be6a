"""Practice: a list of calculations, a problem, its mark. What is done here is the person's own."""

import secrets

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Calculation
from assessments.forms.answering import PracticeForm, shown_mark
from assessments.generation import problem_of
from assessments.models import PracticeAttempt
from assessments.operations.answering import SEED_BELOW, Answered
from assessments.operations.practice import keep_attempt
from assessments.queries.checks import waiting_for
from assessments.queries.library import library_of
from assessments.queries.practice import practice_list
from assessments.views.shown import result_of, shown_givens
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.permissions import may_open_check
from competencies.views.loading import person_at_keyboard


@login_required
@require_safe
def practice_index(request: ActorRequest) -> HttpResponse:
    """List what can be practised, what the coming tasks ask for first, and the checks that wait."""
    person = person_at_keyboard(request.actor)
    context = {
        "list": practice_list(person, on=request.actor.on),
        "waiting": list(waiting_for(person)),
        "actions": _ways_on(request),
    }
    return render(request, "assessments/practice_index.html", context)


def _ways_on(request: ActorRequest) -> list[dict[str, str]]:
    ways = [(_("All calculations"), "calculation-list")]
    if may_open_check(request.actor):
        ways += [(_("Checks"), "check-list"), (_("Worksheets"), "worksheet-list")]
    return [{"label": label, "url": reverse(f"assessments:{name}"), "kind": "quiet"} for label, name in ways]


@login_required
@require_safe
def practice_next(request: ActorRequest, code: str) -> HttpResponse:
    """Go to a new problem of a calculation."""
    person = person_at_keyboard(request.actor)
    kind = _kind(person, code)
    return redirect("assessments:practice-problem", code=kind.code, seed=secrets.randbelow(SEED_BELOW))


@login_required
@require_http_methods(["GET", "POST"])
def practice_problem(request: ActorRequest, code: str, seed: int) -> HttpResponse:
    """Show a problem and take its answer."""
    person = person_at_keyboard(request.actor)
    if seed >= SEED_BELOW:
        raise Http404
    made = problem_of(_kind(person, code), seed)
    now = timezone.now()
    form = PracticeForm(request.POST or None, initial={"shown": shown_mark(now=now.timestamp())}, problem=made)
    if request.method == "POST" and form.is_valid() and form.mark:
        token, seconds = form.showing(now=now.timestamp())
        answered = Answered(problem=made, typed=form.cleaned_data["typed"], mark=form.mark, seconds=seconds)
        attempt = keep_attempt(person=person, answered=answered, token=token, now=now)
        return redirect("assessments:practice-mark", attempt_id=attempt.pk)
    context = {"problem": made, "givens": shown_givens(made), "form": form}
    return render(request, "assessments/practice_problem.html", context)


@login_required
@require_safe
def practice_mark(request: ActorRequest, attempt_id: int) -> HttpResponse:
    """Show the mark of one's own answer, the slip, the worked steps, the source and the cautions."""
    person = person_at_keyboard(request.actor)
    attempt = get_object_or_404(PracticeAttempt, pk=attempt_id, person=person)
    context = {
        "attempt": attempt,
        "result": result_of(attempt, library_of(person.plant)),
        "calculation": _kind(person, attempt.calculation),
    }
    return render(request, "assessments/practice_mark.html", context)


def _kind(person: Person, code: str) -> Calculation:
    try:
        return library_of(person.plant).kind(code)
    except UnknownCalculationError:
        raise Http404 from None
