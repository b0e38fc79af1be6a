"""How an answer is rated, what it does to the help, and what is remembered of a slip."""

import pytest
from fsrs import Rating

from assessments.scheduling.memory import LONGEST_DAYS
from assessments.scheduling.progress import Stage, progressed, rating_of, replayed
from assessments.vocabulary import Help, Verdict
from tests.assessments.scheduling.answers import answer, on_day, wrong


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        (answer(), Rating.Good),
        (answer(seconds=2), Rating.Good),
        (answer(seconds=600), Rating.Good),
        (answer(seconds=601), Rating.Hard),
        (answer(help=Help.GIVEN), Rating.Hard),
        (answer(help=Help.ASKED), Rating.Hard),
        (answer(help=Help.WHOLE), Rating.Again),
        (answer(help=Help.GIVEN, steps_right=False), Rating.Hard),
        (answer(verdict=Verdict.UNIT_MISSING), Rating.Hard),
        (answer(verdict=Verdict.UNIT_WRONG), Rating.Hard),
        (answer(verdict=Verdict.TOO_COARSE), Rating.Hard),
        (answer(verdict=Verdict.TOO_COARSE, help=Help.WHOLE), Rating.Again),
        (answer(verdict=Verdict.SLIP), Rating.Again),
        (answer(verdict=Verdict.TWO_SLIPS), Rating.Again),
        (answer(verdict=Verdict.POWER_OF_TEN), Rating.Again),
        (answer(verdict=Verdict.OTHER), Rating.Again),
    ],
)
def test_rating_follows_the_written_rule(given, expected):
    assert rating_of(given) is expected


@pytest.mark.parametrize(
    ("answers", "stage"),
    [
        ([], None),
        ([answer(help=Help.GIVEN)], Stage.LAST_TWO_BLANK),
        ([answer(help=Help.GIVEN), answer(1, help=Help.GIVEN)], Stage.ALONE),
        ([answer(help=Help.GIVEN)] * 5, Stage.ALONE),
        ([answer()], Stage.ALONE),
        ([answer(help=Help.ASKED)], Stage.READ),
        ([answer(help=Help.WHOLE)], Stage.READ),
        ([answer(help=Help.GIVEN, steps_right=False)], Stage.READ),
        ([answer(verdict=Verdict.UNIT_MISSING)], Stage.READ),
        ([answer(), wrong(1)], Stage.ALONE),
        ([answer(), wrong(1), wrong(2)], Stage.LAST_TWO_BLANK),
        ([answer(), wrong(1), answer(2), wrong(3)], Stage.ALONE),
        ([answer(), wrong(1), answer(2, Verdict.UNIT_MISSING), wrong(3)], Stage.ALONE),
        ([answer(), *[wrong(day) for day in range(1, 5)]], Stage.LAST_BLANK),
        ([answer(), *[wrong(day) for day in range(1, 7)]], Stage.READ),
        ([answer(), *[wrong(day) for day in range(1, 9)]], Stage.READ),
    ],
)
def test_help_fades_and_comes_back(answers, stage):
    progress = replayed(answers)

    assert (progress and progress.stage) == stage


def test_slip_is_remembered_until_the_person_is_right_again():
    slipped = replayed([answer(), wrong(1, slip="hL taken as L")])
    nearly = progressed(slipped, answer(2, Verdict.UNIT_MISSING))
    mended = progressed(nearly, answer(3))

    assert (slipped.slip, slipped.wrong_at, slipped.right_at) == ("hL taken as L", on_day(1), on_day(0))
    assert nearly.wrong_at == on_day(1)
    assert (mended.slip, mended.wrong_at, mended.right_at) == ("", None, on_day(3))


def test_working_that_was_on_the_page_proves_nothing():
    progress = replayed([wrong(), answer(1, help=Help.WHOLE)])

    assert progress.right_at is None
    assert progress.wrong_at == on_day(0)


def test_no_interval_is_longer_than_a_quarter():
    progress = None
    at = 0.0
    for _ in range(10):
        progress = progressed(progress, answer(at))
        at = (progress.memory.due_at - on_day(0)).total_seconds() / 86400

    assert (progress.memory.due_at - progress.memory.last_at).days == LONGEST_DAYS == 91


def test_wrong_answer_is_due_again_the_same_day_and_is_forgotten_sooner():
    right, missed = replayed([answer(), answer(1)]), replayed([answer(), answer(1), wrong(4)])

    assert (missed.memory.due_at - on_day(4)).total_seconds() <= 600
    assert missed.memory.recall(on_day(5)) < right.memory.recall(on_day(2))


def test_recall_runs_on_within_a_day():
    memory = replayed([answer()]).memory

    assert memory.recall(on_day(-1)) == memory.recall(on_day(0)) == 1.0
    assert 1.0 > memory.recall(on_day(0.25)) > memory.recall(on_day(0.5)) > memory.recall(on_day(1))
