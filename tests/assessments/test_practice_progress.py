"""What an answer in practice makes of the progress, and that it can be made again from the attempts."""

import random
from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.db import DatabaseError
from django.utils import timezone

from assessments.generation import problem
from assessments.marking import mark
from assessments.models import PracticeAttempt, PracticeProgress, StepsAsked
from assessments.operations import practice
from assessments.operations.checks import answer_check, finish_check, start_check
from assessments.operations.practice import ask_for_step, rebuild_progress
from assessments.queries.practice_progress import progress_of, progress_of_kind
from assessments.scheduling.progress import Stage
from assessments.vocabulary import Help
from competencies.operations.erasing import PRACTICE
from competencies.queries.own_data import own_data
from tests.assessments.practising import CODE, practise
from tests.assessments.sittings import sitting_for
from tests.factories import make_floor, make_person, make_plant, today

pytestmark = pytest.mark.django_db
COLUMNS = ("calculation", "stability", "difficulty", "phase", "step", "due_at", "last_at", "stage", "misses")
COLUMNS += ("right_at", "wrong_at", "slip")


@pytest.fixture
def person():
    return make_person(make_plant(), "Tove Brandvold")


def rows_of(person):
    return sorted(PracticeProgress.objects.filter(person=person).values_list(*COLUMNS), key=str)


def test_answer_and_progress_are_kept_together(person, monkeypatch):
    practise(person)
    row = PracticeProgress.objects.get()

    assert (row.person, row.calculation, row.stage) == (person, CODE, Stage.ALONE)
    assert row.right_at == row.last_at == PracticeAttempt.objects.get().at

    def fail(*_args):
        raise DatabaseError

    monkeypatch.setattr(practice, "_keep_progress", fail)
    with pytest.raises(DatabaseError):
        practise(person, seed=2)
    assert PracticeAttempt.objects.count() == 1


def test_rebuilt_progress_equals_what_was_kept(person):
    chance = random.Random("any history")
    for number in range(40):
        ago = timedelta(days=60 - 1.5 * number, minutes=chance.randrange(600))
        practise(
            person,
            chance.choice([CODE, "C05-pressure", "C10-fill"]),
            seed=number,
            is_right=chance.random() < 0.7,
            ago=ago,
            help=chance.choice(list(Help)),
            seconds=chance.choice([None, 30, 900]),
        )
    kept = rows_of(person)

    assert rebuild_progress(person=person) == len(kept) == 3
    assert rows_of(person) == kept


def test_attempts_from_before_progress_was_kept_are_replayed(person):
    practise(person, ago=timedelta(days=5))
    practise(person, seed=2, ago=timedelta(days=3))
    practise(person, "C10-fill", ago=timedelta(days=3))
    kept, rows = progress_of(person), rows_of(person)
    PracticeProgress.objects.all().delete()

    assert progress_of(person) == kept
    assert progress_of_kind(person, CODE) == kept[CODE]
    practise(person, seed=3)
    rebuilt = PracticeProgress.objects.get(calculation=CODE)
    PracticeProgress.objects.all().delete()
    rebuild_progress(person=person)
    assert len(rows_of(person)) == len(rows) == 2
    assert PracticeProgress.objects.get(calculation=CODE).stability == rebuilt.stability


def test_answer_that_comes_late_takes_its_place_in_time(person):
    practise(person, seed=1, ago=timedelta(days=1))
    practise(person, seed=2, ago=timedelta(days=9), is_right=False)
    kept = rows_of(person)

    rebuild_progress(person=person)

    assert rows_of(person) == kept


def test_problem_that_was_answered_before_proves_nothing(person):
    practise(person, seed=1, is_right=False)

    again = practise(person, seed=1)

    assert again.help == Help.WHOLE
    assert progress_of(person)[CODE].right_at is None


def test_steps_asked_for_are_counted_once_a_press_and_forgotten_with_the_answer(person):
    made = problem(CODE, 1)
    for seen in ("0", "0", "1", "2", "7", "x", ""):
        ask_for_step(person=person, problem=made, seen=seen)

    assert StepsAsked.objects.get().steps == len(made.calculation.steps) == 2
    practise(person, seed=1)
    assert not StepsAsked.objects.exists()


def test_check_changes_no_progress():
    floor, now = make_floor(), timezone.now()
    sitting = sitting_for(floor.trainee, floor.trainer, problems=1, pass_mark=1)
    made = problem(*sitting.problem_seeds[0])

    start_check(sitting=sitting, now=now)
    answer_check(sitting=sitting, number=1, typed=made.stated_answer, mark=mark(made, made.stated_answer), now=now)
    finished = finish_check(sitting=sitting, on=today(), now=now)

    assert finished.right == 1
    assert not PracticeProgress.objects.exists()


def test_command_makes_the_same_rows_and_names_nobody(person):
    practise(person)
    kept, out = rows_of(person), StringIO()
    PracticeProgress.objects.all().delete()

    call_command("rebuild_practice", stdout=out)

    assert rows_of(person) == kept
    assert out.getvalue() == "1 people, 1 kinds\n"


def test_progress_is_told_to_its_person_and_goes_with_their_record(person):
    practise(person)
    ask_for_step(person=person, problem=problem(CODE, 9), seen="0")

    told = {table.label for table in own_data(person, now=timezone.now(), with_private=True).tables}

    assert {"assessments.PracticeAttempt", "assessments.PracticeProgress", "assessments.StepsAsked"} <= told
    tables = {field.name for field in type(person)._meta.get_fields() if field.name.startswith("practice_")}
    assert tables <= set(PRACTICE)
