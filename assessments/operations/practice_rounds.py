"""A five-minute round: begun, gone on with problem by problem, ended."""

import secrets
import uuid
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from assessments.models import PracticeAttempt, PracticeRound
from assessments.operations.answering import SEED_BELOW, Answered
from assessments.operations.practice import keep_attempt
from assessments.queries.library import library_of
from assessments.queries.practice_next import next_for
from assessments.scheduling.choosing import Choice
from assessments.scheduling.rounds import counted, is_over
from competencies.models import Person


class RoundError(Exception):
    """The round cannot begin; the message may be shown."""


@transaction.atomic
def start_round(*, person: Person, now: datetime) -> PracticeRound:
    """Begin a round, or return the one that is open. Raises RoundError where there is nothing to practise."""
    Person.objects.select_for_update(no_key=True).filter(pk=person.pk).first()
    if (running := PracticeRound.objects.filter(person=person, ended_at=None).first()) is not None:
        return running
    choice = next_for(person, library_of(person.plant), now=now)
    if choice is None:
        raise RoundError(_("There is nothing to practise yet."))
    return PracticeRound.objects.create(person=person, started_at=now, **_problem(choice))


@transaction.atomic
def answer_in_round(*, running: PracticeRound, answered: Answered, token: uuid.UUID, now: datetime) -> PracticeAttempt:
    """Keep an answer given in a round, count its time, and draw the next problem or end the round."""
    attempt = keep_attempt(person=running.person, answered=answered, token=token, now=now, in_round=running)
    used = running.used_seconds + counted(answered.seconds)
    _go_on(running, used, now)
    return attempt


@transaction.atomic
def pass_over(*, running: PracticeRound, now: datetime) -> None:
    """Draw another problem: the plant has no longer the calculation that was asked."""
    _go_on(running, running.used_seconds, now)


@transaction.atomic
def end_round(*, running: PracticeRound, now: datetime) -> None:
    """End a round before its time; what was answered is kept."""
    PracticeRound.objects.filter(pk=running.pk, ended_at=None).update(ended_at=now)


def _go_on(running: PracticeRound, used: int, now: datetime) -> None:
    """Move on, once: a form that is sent twice finds the round at its next problem already."""
    rows = PracticeRound.objects.filter(
        pk=running.pk, ended_at=None, calculation=running.calculation, seed=running.seed
    )
    person = running.person
    choice = None if is_over(used) else next_for(person, library_of(person.plant), now=now)
    if choice is None:
        rows.update(used_seconds=used, ended_at=now)
    else:
        rows.update(used_seconds=used, **_problem(choice))


def _problem(choice: Choice) -> dict[str, object]:
    return {
        "calculation": choice.candidate.code,
        "seed": secrets.randbelow(SEED_BELOW),
        "reason": choice.reason.as_json(),
    }
