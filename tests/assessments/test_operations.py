"""The writes: attempts kept once, a check from opening to the ledger, and what is refused on the way."""

import uuid
from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from assessments.generation import problem
from assessments.marking import mark
from assessments.models import CheckAnswer, CheckSitting, PracticeAttempt
from assessments.operations.answering import Answered
from assessments.operations.checks import (
    CheckError,
    answer_check,
    call_off_check,
    finish_check,
    open_check,
    start_check,
)
from assessments.operations.practice import keep_attempt
from assessments.queries.checks import checks_asked
from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, TaskCalculation
from competencies.operations.recording import RefusedError
from tests.assessments.sittings import sitting_for
from tests.factories import Asked, days_ago, make_area, make_floor, make_task, make_terms, signer, today

pytestmark = pytest.mark.django_db
NOW = timezone.now


@pytest.fixture
def floor():
    return make_floor()


def give(sitting, number, *, is_right=True, at=None):
    code, seed = sitting.problem_seeds[number - 1]
    made = problem(code, seed)
    typed = made.stated_answer if is_right else "1 kg"
    answer_check(sitting=sitting, number=number, typed=typed, mark=mark(made, typed), now=at or NOW())


def sat(floor, *, right=5):
    sitting = sitting_for(floor.trainee, floor.trainer)
    start_check(sitting=sitting, now=NOW())
    for number in range(1, 6):
        give(sitting, number, is_right=number <= right)
    return sitting


def test_attempt_is_kept_once_for_each_showing(floor):
    made = problem("C03-strike", 1)
    answered = Answered(problem=made, typed="70", mark=mark(made, "70"), seconds=12)
    token = uuid.uuid4()

    first, second = (keep_attempt(person=floor.trainee, answered=answered, token=token, now=NOW()) for _ in range(2))

    assert first == second
    assert PracticeAttempt.objects.get().seconds == 12


def test_check_mixes_the_kinds_of_its_code(floor):
    sitting = sitting_for(floor.trainee, floor.trainer, calculation="C13", problems=5)

    assert [code for code, _ in sitting.problem_seeds] == [
        "C13-angle", "C13-deviation", "C13-skew", "C13-angle", "C13-deviation",
    ]  # fmt: skip
    assert len({seed for _, seed in sitting.problem_seeds}) == 5


@pytest.mark.parametrize(
    ("who", "calculation", "message"),
    [("trainer", "C03", "themselves"), ("trainee", "C77", "no problems for C77")],
)
def test_check_that_makes_no_sense_is_not_opened(floor, who, calculation, message):
    with pytest.raises(CheckError, match=message):
        open_check(
            trainee=getattr(floor, who),
            opened_by=signer(floor.trainer),
            calculation=calculation,
            problems=5,
            pass_mark=4,
            now=NOW(),
        )


def test_answers_come_in_order_after_the_start(floor):
    sitting = sitting_for(floor.trainee, floor.trainer)

    with pytest.raises(CheckError, match="not been started"):
        give(sitting, 1)
    start_check(sitting=sitting, now=NOW())
    with pytest.raises(CheckError, match="not open"):
        give(sitting, 2)
    give(sitting, 1)
    assert CheckAnswer.objects.count() == 1


def test_time_is_counted_from_the_answer_before(floor):
    sitting = sitting_for(floor.trainee, floor.trainer)
    began = NOW()
    start_check(sitting=sitting, now=began)
    start_check(sitting=sitting, now=began + timedelta(minutes=5))

    give(sitting, 1, at=began + timedelta(seconds=90))
    give(sitting, 2, at=began + timedelta(seconds=130))

    assert list(CheckAnswer.objects.order_by("number").values_list("seconds", flat=True)) == [90, 40]


def test_result_goes_into_the_ledger_once(floor):
    sitting = sat(floor, right=4)
    before = LedgerEntry.objects.count()

    first = finish_check(sitting=sitting, on=today(), now=NOW())
    second = finish_check(sitting=sitting, on=today(), now=NOW())

    assert first.entry_seq == second.entry_seq
    assert LedgerEntry.objects.count() == before + 1
    [fact] = facts_of(LedgerEntry.objects.filter(seq=first.entry_seq))
    assert (fact.calculation, fact.passed, fact.by) == ("C03", True, floor.trainer.pk)
    assert CheckSitting.objects.get().right == 4


def test_unfinished_check_is_not_handed_in(floor):
    sitting = sitting_for(floor.trainee, floor.trainer)
    start_check(sitting=sitting, now=NOW())
    give(sitting, 1)

    with pytest.raises(CheckError, match="Not every problem"):
        finish_check(sitting=sitting, on=today(), now=NOW())


def test_refused_result_leaves_the_check_open(floor):
    sitting = sat(floor)

    # Only a broken row could say so; the ledger's own rule has the last word.
    CheckSitting.objects.filter(pk=sitting.pk).update(opened_by=sitting.trainee)

    with pytest.raises(RefusedError):
        finish_check(sitting=sitting, on=today(), now=NOW())

    sitting.refresh_from_db()
    assert sitting.finished_at is None
    assert sitting.right is None


@pytest.mark.parametrize("then", [give, call_off_check, finish_check])
def test_called_off_check_is_over(floor, then):
    sitting = sat(floor)
    call_off_check(sitting=sitting, now=NOW())
    more = {give: {"number": 5}, call_off_check: {"now": NOW()}, finish_check: {"on": today(), "now": NOW()}}

    with pytest.raises(CheckError, match="called off"):
        then(sitting=sitting, **more[then])


def test_database_keeps_a_second_open_check_out(floor):
    sitting = sitting_for(floor.trainee, floor.trainer)
    sitting.pk = None

    with pytest.raises(IntegrityError), transaction.atomic():
        sitting.save(force_insert=True)


def test_database_keeps_a_finished_check_without_an_entry_out(floor):
    sitting = sitting_for(floor.trainee, floor.trainer)

    with pytest.raises(IntegrityError), transaction.atomic():
        CheckSitting.objects.filter(pk=sitting.pk).update(finished_at=NOW(), right=5)


def test_strictest_terms_decide_a_check(floor):
    area = make_area(floor.plant)
    easy = make_task(area, "PK-05", asked=Asked(calculations=("C10",)))
    hard = make_task(area, "PK-06", asked=Asked(calculations=("C10", "C12")))
    TaskCalculation.objects.filter(terms__task=easy).update(problems=4, pass_mark=4)
    TaskCalculation.objects.filter(terms__task=hard).update(problems=10, pass_mark=7)

    asked = {each.calculation: each for each in checks_asked(floor.plant, on=today())}

    assert (asked["C10"].problems, asked["C10"].pass_mark) == (10, 10)
    assert (asked["C12"].problems, asked["C12"].pass_mark) == (10, 7)
    assert asked["C10"].tasks == ("PK-05", "PK-06")


def test_only_the_terms_in_force_ask_for_a_check(floor):
    task = make_task(make_area(floor.plant), "PK-05", asked=Asked(calculations=("C10",)))
    make_terms(task, Asked(calculations=("C12",)), effective_on=days_ago(10))
    make_terms(task, Asked(calculations=("C15",)), effective_on=days_ago(-10))

    assert [each.calculation for each in checks_asked(floor.plant, on=today())] == ["C12"]
    assert [each.calculation for each in checks_asked(floor.plant, on=days_ago(20))] == ["C10"]
