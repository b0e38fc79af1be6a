"""Checks, from opening to the ledger."""

import secrets
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from assessments.generation import problem_of
from assessments.marking import Mark
from assessments.models import CheckAnswer, CheckSitting
from assessments.operations.answering import LONGEST_SECONDS, SEED_BELOW, Answered, kept
from assessments.queries.library import library_of
from assessments.vocabulary import Verdict
from competencies.ledger.writer import writing
from competencies.models import Person
from competencies.operations.pins import Signer
from competencies.operations.runs import CheckResult, record_check


class CheckError(Exception):
    """The check cannot go on like this; the message may be shown."""


@transaction.atomic
def open_check(
    *, trainee: Person, opened_by: Signer, calculation: str, problems: int, pass_mark: int, now: datetime
) -> CheckSitting:
    """Open a check for a trainee and draw its problems. Raises CheckError."""
    if trainee == opened_by.person:
        raise CheckError(_("Nobody opens a check for themselves."))
    kinds = library_of(trainee.plant).asked_by(calculation)
    if not kinds:
        raise CheckError(_("There are no problems for %(code)s yet.") % {"code": calculation})
    seeds = [[kinds[place % len(kinds)].code, secrets.randbelow(SEED_BELOW)] for place in range(problems)]
    try:
        with transaction.atomic():
            return CheckSitting.objects.create(
                plant=trainee.plant,
                trainee=trainee,
                opened_by=opened_by.person,
                proof=opened_by.proof,
                calculation=calculation,
                problems=problems,
                pass_mark=pass_mark,
                problem_seeds=seeds,
                opened_at=now,
            )
    except IntegrityError:
        raise CheckError(_("%(name)s has an open check of this already.") % {"name": trainee.name}) from None


@transaction.atomic
def start_check(*, sitting: CheckSitting, now: datetime) -> None:
    """Note when the trainee began; beginning again changes nothing."""
    CheckSitting.objects.open().filter(pk=sitting.pk, started_at=None).update(started_at=now)


@transaction.atomic
def answer_check(*, sitting: CheckSitting, number: int, typed: str, mark: Mark, now: datetime) -> None:
    """Keep the answer to the next problem. Raises CheckError when it is not its turn, or the check is over."""
    row = _locked(sitting)
    if row.started_at is None:
        raise CheckError(_("This check has not been started."))
    answers = list(row.answers.order_by("number"))
    if number <= len(answers):
        return  # The form was sent twice: the first answer stands.
    if number != len(answers) + 1 or number > row.problems:
        raise CheckError(_("That problem is not open."))
    code, seed = row.problem_seeds[number - 1]
    last = answers[-1].at if answers else row.started_at
    seconds = min(max(int((now - last).total_seconds()), 0), LONGEST_SECONDS)
    made = problem_of(library_of(row.plant).kind(code), seed)
    answered = Answered(problem=made, typed=typed, mark=mark)
    CheckAnswer.objects.create(sitting=row, number=number, **kept(answered), seconds=seconds, at=now)


@writing()
def finish_check(*, sitting: CheckSitting, on: date, now: datetime) -> CheckSitting:
    """Write the result of a fully answered check into the ledger, once. Raises CheckError or RefusedError."""
    row = (
        CheckSitting.objects.select_for_update(of=("self",))
        .select_related("trainee__plant", "opened_by")
        .get(pk=sitting.pk)
    )
    if row.finished_at is not None:
        return row
    if row.called_off_at is not None:
        raise CheckError(_("This check was called off."))
    verdicts = list(row.answers.values_list("verdict", flat=True))
    if len(verdicts) < row.problems:
        raise CheckError(_("Not every problem is answered yet."))
    row.right = verdicts.count(Verdict.RIGHT.value)
    appended = record_check(
        trainee=row.trainee,
        opened_by=Signer(row.opened_by, row.proof),
        result=CheckResult(
            calculation=row.calculation,
            problems=row.problems,
            right=row.right,
            pass_mark=row.pass_mark,
            sitting_id=row.pk,
        ),
        happened_at=now,
        on=on,
        now=now,
    )
    row.finished_at, row.entry_seq = now, appended.seq
    row.save(update_fields=["right", "finished_at", "entry_seq"])
    return row


@transaction.atomic
def call_off_check(*, sitting: CheckSitting, now: datetime) -> None:
    """End a check that will not be finished; nothing goes into the ledger. Raises CheckError."""
    row = _locked(sitting)
    row.called_off_at = now
    row.save(update_fields=["called_off_at"])


def _locked(sitting: CheckSitting) -> CheckSitting:
    row = CheckSitting.objects.select_for_update(of=("self",)).select_related("plant").get(pk=sitting.pk)
    if row.finished_at is not None:
        raise CheckError(_("This check is finished."))
    if row.called_off_at is not None:
        raise CheckError(_("This check was called off."))
    return row
