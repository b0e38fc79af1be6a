"""Item figures and what is pointed out, each rule at its edge."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.items import (
    Doubt,
    ItemAnswer,
    Seconds,
    Undefined,
    discrimination,
    item_figures,
    rest_shares,
)
from assessments.vocabulary import Verdict

RIGHT, SLIP, OTHER = Verdict.RIGHT, Verdict.SLIP, Verdict.OTHER


def answer(sitting, place, item, verdict=RIGHT, *slips, seconds=60):
    return ItemAnswer(sitting=sitting, place=place, item=item, verdict=verdict, slips=slips, seconds=seconds)


def sitting(number, *marks, item="A", slips=(), seconds=60):
    """Return a sitting: its first problem is of `item`, the others of B; a mark is 1 for right."""
    verdicts = [RIGHT if each else SLIP if slips else OTHER for each in marks]
    first = answer(number, 1, item, verdicts[0], *(() if marks[0] else slips), seconds=seconds)
    rest = [answer(number, place, "B", RIGHT if mark else OTHER) for place, mark in enumerate(marks[1:], start=2)]
    return [first, *rest]


def figures(answers, item="A"):
    return next(each for each in item_figures(answers) if each.item == item)


def doubts(answers, item="A"):
    return [pointer.doubt for pointer in figures(answers, item).pointers]


def sat(rows, **fields):
    return [each for number, marks in enumerate(rows) for each in sitting(number, *marks, **fields)]


def test_rest_leaves_the_answer_itself_out():
    rests = rest_shares([*sitting(1, 1, 0, 1, 1, 0), *sitting(2, 0)])

    assert rests[1, 1] == 0.5
    assert rests[1, 2] == 0.75
    assert (2, 1) not in rests


def test_difficulty_time_and_mistakes_are_counted():
    verdicts = [RIGHT, RIGHT, SLIP, Verdict.UNIT_WRONG]
    found = figures(
        [answer(number, 1, "A", verdict, seconds=10 * number) for number, verdict in enumerate(verdicts, start=1)]
    )

    assert (found.answers, found.right, found.difficulty) == (4, 2, 0.5)
    assert found.seconds == Seconds(quarter=17.5, middle=25, three_quarters=32.5)
    assert found.verdicts[Verdict.UNIT_WRONG] == 1
    assert found.verdicts[Verdict.UNIT_MISSING] == 0


def test_one_answer_has_one_time():
    assert figures([answer(1, 1, "A", seconds=42)]).seconds == Seconds(quarter=42, middle=42, three_quarters=42)


def test_slips_are_listed_by_frequency_and_each_once_an_answer():
    found = figures(
        [
            answer(1, 1, "A", Verdict.TWO_SLIPS, "late", "late"),
            answer(2, 1, "A", Verdict.TWO_SLIPS, "late", "early"),
            answer(3, 1, "A", SLIP, "early"),
            answer(4, 1, "A", SLIP, "early"),
        ]
    )

    assert found.slips == (("early", 3), ("late", 2))


@pytest.mark.parametrize(
    ("right", "rests", "expected"),
    [
        ([True, False] * 9 + [True], [0.5, 0.0] * 9 + [0.5], Undefined.TOO_FEW),
        ([True] * 20, [0.5, 1.0] * 10, Undefined.ALL_RIGHT),
        ([False] * 20, [0.5, 1.0] * 10, Undefined.ALL_WRONG),
        ([True, False] * 10, [0.5] * 20, Undefined.SAME_REST),
        ([True, False] * 10, [1.0, 0.0] * 10, pytest.approx(1)),
        ([False, True] * 10, [1.0, 0.0] * 10, pytest.approx(-1)),
    ],
)
def test_discrimination_or_why_there_is_none(right, rests, expected):
    assert discrimination(right, rests) == expected


marks = st.lists(st.booleans(), min_size=20, max_size=40)


@given(marks, st.data())
def test_discrimination_turns_round_with_the_marks(right, data):
    rests = data.draw(st.lists(st.sampled_from([0.0, 0.25, 0.5, 0.75, 1.0]), min_size=len(right), max_size=len(right)))
    found, turned = discrimination(right, rests), discrimination([not each for each in right], rests)

    if isinstance(found, Undefined):
        assert isinstance(turned, Undefined)
    else:
        assert -1 - 1e-9 <= found <= 1 + 1e-9
        assert turned == pytest.approx(-found)


@given(marks, st.data())
def test_discrimination_asks_only_for_the_order_of_the_scale(right, data):
    rests = data.draw(st.lists(st.sampled_from([0.0, 0.25, 0.5, 1.0]), min_size=len(right), max_size=len(right)))
    found, stretched = discrimination(right, rests), discrimination(right, [3 * each + 7 for each in rests])

    assert stretched == (found if isinstance(found, Undefined) else pytest.approx(found))


def test_an_item_that_the_stronger_get_wrong_is_pointed_out():
    rows = [(0, 1, 1, 1)] * 10 + [(1, 0, 0, 0)] * 10

    assert figures(sat(rows)).discrimination == pytest.approx(-1)
    assert Doubt.TURNED_ROUND in doubts(sat(rows))


def test_a_discrimination_that_chance_could_give_is_not_pointed_out():
    # 20 answers: below -1.96 / sqrt(19) = -0.45 it is more than chance.
    rows = [(0, 1, 1, 1)] * 5 + [(1, 1, 1, 1)] * 8 + [(1, 0, 1, 1)] * 4 + [(0, 0, 0, 1)] * 2 + [(1, 0, 0, 0)]

    assert -0.45 < figures(sat(rows)).discrimination < 0.45
    assert Doubt.TURNED_ROUND not in doubts(sat(rows))


@pytest.mark.parametrize(
    ("strong", "slips", "is_pointed_out"),
    [(3, ("late",), True), (2, ("late",), False), (3, (), False)],
)
def test_an_item_on_which_the_strong_fall_for_one_slip_is_pointed_out(strong, slips, is_pointed_out):
    rows = sat([(0, 1, 1, 1, 0)] * strong, slips=slips)

    assert (Doubt.FOOLS_THE_STRONG in doubts(rows)) is is_pointed_out


def test_half_of_the_strong_on_one_slip_is_not_enough():
    rows = [*sat([(0, 1, 1)] * 2, slips=("late",)), *[each for number in (7, 8) for each in sitting(number, 0, 1, 1)]]

    assert Doubt.FOOLS_THE_STRONG not in doubts(rows)


@pytest.mark.parametrize(
    ("same", "others", "is_pointed_out"), [(3, 2, True), (5, 4, False), (4, 0, False), (5, 0, True)]
)
def test_an_item_with_one_slip_behind_most_mistakes_is_pointed_out(same, others, is_pointed_out):
    weak = (0, 0, 0)
    rows = sat([weak] * same, slips=("late",)) + [
        each for number in range(100, 100 + others) for each in sitting(number, *weak)
    ]

    assert (Doubt.ONE_SLIP in doubts(rows)) is is_pointed_out


@pytest.mark.parametrize(("seconds", "count", "is_pointed_out"), [(120, 10, True), (119, 10, False), (120, 9, False)])
def test_an_item_that_takes_twice_the_time_is_pointed_out(seconds, count, is_pointed_out):
    rows = sat([(1, 1)] * count, seconds=seconds) + [answer(number, 1, "B") for number in range(100, 110)]

    assert (Doubt.SLOW in doubts(rows)) is is_pointed_out


def test_a_good_item_has_nothing_pointed_out():
    rows = [(1, 1, 1, 1)] * 10 + [(0, 0, 0, 1)] * 4 + [(1, 0, 0, 0)] * 6

    assert figures(sat(rows)).discrimination > 0
    assert doubts(sat(rows)) == []


def test_no_answers_give_no_items():
    assert item_figures([]) == []
