"""Which steps are shown and which are blank, and that a blank step is marked like an answer."""

import pytest

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.marking import mark
from assessments.operations.answering import StepAnswer
from assessments.scheduling.fading import laid, step_problem
from assessments.scheduling.progress import Stage
from assessments.vocabulary import Help, Verdict

SEED = 12345
LONG, MIDDLE, SHORT = "C05-pressure", "C03-strike", "C04-plato"  # four steps, two, and one


@pytest.mark.parametrize(
    ("code", "stage", "asked", "shown", "blanks", "given_help"),
    [
        (LONG, Stage.READ, 0, 3, (), Help.GIVEN),
        (LONG, Stage.LAST_BLANK, 0, 3, (), Help.GIVEN),
        (LONG, Stage.LAST_TWO_BLANK, 0, 2, (2,), Help.GIVEN),
        (LONG, Stage.LAST_TWO_BLANK, 1, 3, (), Help.ASKED),
        (LONG, Stage.LAST_TWO_BLANK, 2, 4, (), Help.WHOLE),
        (LONG, Stage.LAST_TWO_BLANK, 9, 4, (), Help.WHOLE),
        (LONG, Stage.ALONE, 0, 0, (), Help.NONE),
        (LONG, Stage.ALONE, 1, 1, (), Help.ASKED),
        (LONG, Stage.ALONE, 4, 4, (), Help.WHOLE),
        (MIDDLE, Stage.LAST_BLANK, 0, 1, (), Help.GIVEN),
        (MIDDLE, Stage.LAST_TWO_BLANK, 0, 0, (0,), Help.GIVEN),
        (MIDDLE, Stage.LAST_TWO_BLANK, 1, 1, (), Help.ASKED),
        (MIDDLE, Stage.ALONE, 0, 0, (), Help.NONE),
        (SHORT, Stage.LAST_BLANK, 0, 0, (), Help.NONE),
        (SHORT, Stage.LAST_TWO_BLANK, 0, 0, (), Help.NONE),
        (SHORT, Stage.ALONE, 1, 1, (), Help.WHOLE),
    ],
)
def test_problem_is_laid_out_by_stage_and_by_what_was_asked(code, stage, asked, shown, blanks, given_help):
    out = laid(problem(code, SEED), stage, asked=asked)

    assert (out.shown, out.blanks, out.help) == (shown, blanks, given_help)


@pytest.mark.parametrize("code", sorted(calculations()))
def test_every_step_that_is_asked_for_can_be_answered_as_it_is_shown(code):
    made = problem(code, SEED)

    for place, shown in enumerate(made.steps()[:-1]):
        asked = step_problem(made, place)
        if asked is None:
            assert not shown.unit
        else:
            given = StepAnswer(place, shown.result, mark(asked, shown.result))
            assert given.is_right
            if shown.unit:
                assert mark(asked, f"{shown.result} {shown.unit}").verdict is Verdict.RIGHT


def test_slip_in_a_blank_step_is_named_there():
    made = problem("C03-strike", SEED)
    step = step_problem(made, 0)

    [slip] = [slip for slip in step.slips if slip in made.slips][:1]
    given = f"{step.calculation.answer.show(step.slip_value(slip))} {step.unit}"

    assert mark(step, given).slips == (slip,)


def test_step_that_is_a_word_is_not_asked_for():
    assert step_problem(problem("C02-iodine", SEED), 0) is None
