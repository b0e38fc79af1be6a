"""A five-minute round for the tea break: begun by one button, gone on with where it was, ended calmly."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessments.calculations import UnknownCalculationError
from assessments.models import PracticeRound
from assessments.operations.practice_rounds import RoundError, end_round, pass_over, start_round
from assessments.queries.library import Library, library_of
from assessments.queries.practice_next import open_round
from assessments.queries.practice_progress import progress_of_kind
from assessments.scheduling.progress import Stage
from assessments.views.practice_words import round_told
from competencies.middleware import ActorRequest
from competencies.views.loading import person_at_keyboard


@login_required
@require_http_methods(["GET", "POST"])
def practice_round(request: ActorRequest) -> HttpResponse:
    """Begin a round, or go on with it: to its problem, or to one that is worked out where the kind is new."""
    person = person_at_keyboard(request.actor)
    if request.method == "POST":
        try:
            start_round(person=person, now=timezone.now())
        except RoundError as error:
            messages.info(request, str(error))
    running = open_round(person)
    if running is not None and not _is_known(running, library_of(person.plant)):
        pass_over(running=running, now=timezone.now())
        running = open_round(person)
    if running is None:
        return redirect("assessments:practice-list")
    progress = progress_of_kind(person, running.calculation)
    if progress is None or progress.stage is Stage.READ:
        return redirect("assessments:practice-worked", code=running.calculation)
    return redirect("assessments:practice-problem", code=running.calculation, seed=running.seed)


@login_required
@require_POST
def practice_round_end(request: ActorRequest) -> HttpResponse:
    """End the open round before its time."""
    running = open_round(person_at_keyboard(request.actor))
    if running is None:
        return redirect("assessments:practice-list")
    end_round(running=running, now=timezone.now())
    return redirect("assessments:practice-round-told", round_id=running.pk)


@login_required
@require_safe
def practice_round_told(request: ActorRequest, round_id: int) -> HttpResponse:
    """Say how one's own round went: how many, and what to look at again."""
    person = person_at_keyboard(request.actor)
    ended = get_object_or_404(PracticeRound, pk=round_id, person=person)
    if ended.ended_at is None:
        return redirect("assessments:practice-round")
    attempts = list(ended.attempts.order_by("at", "pk"))
    context = {"told": round_told(attempts, library_of(person.plant)), "round": ended}
    return render(request, "assessments/practice_round_told.html", context)


def _is_known(running: PracticeRound, library: Library) -> bool:
    try:
        library.kind(running.calculation)
    except UnknownCalculationError:
        return False
    return True
