"""Attempts kept in practice, and what they make of a person's progress."""

import uuid
from datetime import datetime
from typing import Any

from django.db import transaction

from assessments.generation import Problem
from assessments.models import PracticeAttempt, PracticeProgress, PracticeRound, StepsAsked
from assessments.operations.answering import Answered, kept
from assessments.queries.practice_progress import answer_in, progress_in, replayed_by_kind
from assessments.scheduling.progress import Progress, progressed
from assessments.vocabulary import Help
from competencies.models import Person


@transaction.atomic
def keep_attempt(
    *, person: Person, answered: Answered, token: uuid.UUID, now: datetime, in_round: PracticeRound | None = None
) -> PracticeAttempt:
    """Keep an answer given in practice, and what it makes of the progress; one showing of the form is kept once.

    Whoever answered the same problem before has seen its working, and this answer is kept as helped by the whole.
    """
    _lock(person)
    mine = PracticeAttempt.objects.filter(person=person)
    if (already := mine.filter(token=token).first()) is not None:
        return already
    has_seen_it = mine.filter(**_key(answered.problem)).exists()
    attempt = PracticeAttempt.objects.create(
        person=person,
        token=token,
        **kept(answered),
        seconds=answered.seconds,
        at=now,
        help=Help.WHOLE if has_seen_it else answered.help,
        step_answers=answered.kept_steps,
        round=in_round,
    )
    StepsAsked.objects.filter(person=person, **_key(answered.problem)).delete()
    _take_in(attempt)
    return attempt


@transaction.atomic
def ask_for_step(*, person: Person, problem: Problem, seen: str) -> None:
    """Note that the person wants to see one more step of a problem; beyond the last there is none.

    `seen` is how many they had asked for when they pressed the button: a page that is sent again asks for no other.
    """
    row, _created = StepsAsked.objects.get_or_create(person=person, **_key(problem))
    if seen == str(row.steps) and row.steps < len(problem.calculation.steps):
        StepsAsked.objects.filter(pk=row.pk, steps=row.steps).update(steps=row.steps + 1)


@transaction.atomic
def rebuild_progress(*, person: Person) -> int:
    """Drop what is kept of the progress and make it again from the attempts; return how many kinds there are."""
    _lock(person)
    PracticeProgress.objects.filter(person=person).delete()
    attempts = PracticeAttempt.objects.filter(person=person).order_by("calculation", "at", "pk")
    found = replayed_by_kind(attempts)
    for code, progress in found.items():
        _keep_progress(person, code, progress)
    return len(found)


def _key(problem: Problem) -> dict[str, Any]:
    return {"calculation": problem.calculation.code, "seed": problem.seed}


def _lock(person: Person) -> None:
    """Let one answer of a person be kept after the other."""
    Person.objects.select_for_update(no_key=True).filter(pk=person.pk).first()


def _take_in(attempt: PracticeAttempt) -> None:
    person, code = attempt.person, attempt.calculation
    row = PracticeProgress.objects.filter(person=person, calculation=code).first()
    if row is not None and row.last_at <= attempt.at:
        _keep_progress(person, code, progressed(progress_in(row), answer_in(attempt)))
        return
    # The first answer since progress is kept, or one that comes late: work it again from all of them.
    attempts = PracticeAttempt.objects.filter(person=person, calculation=code).order_by("at", "pk")
    _keep_progress(person, code, replayed_by_kind(attempts)[code])


def _keep_progress(person: Person, code: str, progress: Progress) -> None:
    memory = progress.memory
    PracticeProgress.objects.update_or_create(
        person=person,
        calculation=code,
        defaults={
            "stability": memory.stability,
            "difficulty": memory.difficulty,
            "phase": memory.phase,
            "step": memory.step,
            "due_at": memory.due_at,
            "last_at": memory.last_at,
            "stage": progress.stage,
            "misses": progress.misses,
            "right_at": progress.right_at,
            "wrong_at": progress.wrong_at,
            "slip": progress.slip,
        },
    )
