"""Practice: what comes next, a problem, its mark. What is done here is the person's own."""

import secrets
import uuid
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Calculation
from assessments.forms.practice import PracticeForm, Showing, showing_in
from assessments.generation import Problem, problem_of
from assessments.models import PracticeAttempt, PracticeRound
from assessments.operations.answering import SEED_BELOW, Answered
from assessments.operations.practice import ask_for_step, keep_attempt
from assessments.operations.practice_rounds import answer_in_round
from assessments.queries.checks import waiting_for
from assessments.queries.library import Library, library_of
from assessments.queries.practice import practice_list
from assessments.queries.practice_next import next_for, open_round, steps_asked
from assessments.queries.practice_progress import progress_of_kind
from assessments.scheduling.choosing import Reason
from assessments.scheduling.fading import laid
from assessments.scheduling.progress import Stage
from assessments.views.practice_words import (
    chosen_told,
    help_told,
    how_facts,
    laid_told,
    left_told,
    reason_told,
    stage_told,
    told_steps,
)
from assessments.views.shown import result_of, shown_givens, shown_steps
from competencies.middleware import ActorRequest
from competencies.models import Person
from competencies.permissions import may_open_check
from competencies.views.loading import person_at_keyboard


@login_required
@require_safe
def practice_index(request: ActorRequest) -> HttpResponse:
    """List what can be practised, what comes next and why, and the checks that wait."""
    person = person_at_keyboard(request.actor)
    library, running = library_of(person.plant), open_round(person)
    found = practice_list(person, library, now=timezone.now())
    context = {
        "list": found,
        "next": chosen_told(found.next, library, today=request.actor.on),
        "running": running,
        "left": left_told(running) if running else "",
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
def practice_how(request: ActorRequest) -> HttpResponse:
    """Say how the next problem is chosen, how the help fades, and who sees what."""
    person_at_keyboard(request.actor)
    return render(request, "assessments/practice_how.html", {"facts": how_facts()})


@login_required
@require_safe
def practice_next(request: ActorRequest, code: str) -> HttpResponse:
    """Go to a new problem of a kind; to one that is worked out where the person has still to read one."""
    person = person_at_keyboard(request.actor)
    kind = _kind(library_of(person.plant), code)
    ways = {name for name in ("read", "alone") if name in request.GET}
    if not ways and _stage(person, kind) is Stage.READ:
        return redirect("assessments:practice-worked", code=kind.code)
    address = reverse("assessments:practice-problem", args=[kind.code, secrets.randbelow(SEED_BELOW)])
    return redirect(f"{address}?{urlencode({'alone': 1})}" if "alone" in ways else address)


@login_required
@require_safe
def practice_worked(request: ActorRequest, code: str) -> HttpResponse:
    """Show a problem worked out step by step, to be read before one is done with other figures."""
    person = person_at_keyboard(request.actor)
    kind = _kind(library_of(person.plant), code)
    # Another example each time that the person comes back to reading one.
    made = problem_of(kind, PracticeAttempt.objects.filter(person=person, calculation=kind.code).count())
    running = open_round(person)
    in_round = running is not None and running.calculation == kind.code
    context = {
        "problem": made,
        "givens": shown_givens(made),
        "steps": shown_steps(made),
        "running": running if in_round else None,
        "left": left_told(running) if running else "",
    }
    return render(request, "assessments/practice_worked.html", context)


@dataclass(frozen=True, slots=True)
class _Open:
    """A problem that is open before somebody: its round if it belongs to one, and its showing."""

    person: Person
    problem: Problem
    round: PracticeRound | None
    showing: Showing | None
    stage: Stage


@login_required
@require_http_methods(["GET", "POST"])
def practice_problem(request: ActorRequest, code: str, seed: int) -> HttpResponse:
    """Show a problem with as much of its working as the person needs, and take its answer."""
    now = timezone.now()
    this = _opened(request, code, seed)
    if request.method == "POST" and "ask" in request.POST:
        ask_for_step(person=this.person, problem=this.problem, seen=request.POST.get("seen", ""))
    out = laid(this.problem, this.stage, asked=steps_asked(this.person, code, seed))
    fresh = Showing(uuid.uuid4(), now.timestamp(), this.stage).signed()
    is_answer = request.method == "POST" and "ask" not in request.POST
    # Whoever asks for a step keeps what was typed so far.
    initial = {"shown": fresh, **request.POST.dict(), "seen": out.asked}
    form = PracticeForm(
        request.POST if is_answer else None, laid=out, in_round=this.round is not None, initial=initial
    )
    if is_answer and form.is_valid():
        return redirect("assessments:practice-mark", attempt_id=_kept(this, form, now).pk)
    context = {
        "problem": this.problem,
        "givens": shown_givens(this.problem),
        "steps": shown_steps(this.problem)[: out.shown],
        "laid": out,
        "told": laid_told(out),
        "form": form,
        "running": this.round,
        "left": left_told(this.round) if this.round else "",
        "why": reason_told(Reason.from_json(this.round.reason), today=request.actor.on) if this.round else "",
    }
    return render(request, "assessments/practice_problem.html", context)


def _opened(request: ActorRequest, code: str, seed: int) -> _Open:
    person = person_at_keyboard(request.actor)
    kind = _kind(library_of(person.plant), code)
    if seed >= SEED_BELOW:
        raise Http404
    running = open_round(person)
    is_asked = running is not None and (running.calculation, running.seed) == (code, seed)
    showing = showing_in(request.POST.get("shown", ""))
    # What was shown decides what is marked, though an answer in another window may have changed the stage since.
    stage = showing.stage if showing else Stage.ALONE if "alone" in request.GET else _stage(person, kind)
    return _Open(person, problem_of(kind, seed), running if is_asked else None, showing, stage)


def _kept(this: _Open, form: PracticeForm, now: datetime) -> PracticeAttempt:
    if form.mark is None:
        raise RuntimeError("A valid answer has a mark.")
    answered = Answered(
        problem=this.problem,
        typed=form.cleaned_data["typed"],
        mark=form.mark,
        seconds=form.seconds_since(this.showing, now=now.timestamp()),
        help=form.laid.help,
        steps=form.steps,
    )
    token = this.showing.token if this.showing else uuid.uuid4()
    if this.round is not None:
        return answer_in_round(running=this.round, answered=answered, token=token, now=now)
    return keep_attempt(person=this.person, answered=answered, token=token, now=now)


@login_required
@require_safe
def practice_mark(request: ActorRequest, attempt_id: int) -> HttpResponse:
    """Show the mark of one's own answer, the slip, the worked steps, the source, the cautions, and the way on."""
    person = person_at_keyboard(request.actor)
    attempt = get_object_or_404(PracticeAttempt.objects.select_related("round"), pk=attempt_id, person=person)
    library = library_of(person.plant)
    kind = _kind(library, attempt.calculation)
    is_going_on = attempt.round is not None and attempt.round.ended_at is None
    choice = None if is_going_on else next_for(person, library, now=timezone.now())
    context = {
        "attempt": attempt,
        "result": result_of(attempt, library),
        "calculation": kind,
        "help": help_told(attempt.help),
        "step_answers": told_steps(attempt, kind),
        "stage": stage_told(_stage(person, kind), len(kind.steps)),
        "is_going_on": is_going_on,
        "left": left_told(attempt.round) if attempt.round else "",
        "next": chosen_told(choice, library, today=request.actor.on),
    }
    return render(request, "assessments/practice_mark.html", context)


def _stage(person: Person, kind: Calculation) -> Stage:
    progress = progress_of_kind(person, kind.code)
    return progress.stage if progress else Stage.READ


def _kind(library: Library, code: str) -> Calculation:
    try:
        return library.kind(code)
    except UnknownCalculationError:
        raise Http404 from None
