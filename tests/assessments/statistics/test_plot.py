"""The plot of differences: everything lies on the sheet and where its value says."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.agreement import agreement
from assessments.statistics.plot import BOTTOM, LEFT, LINE_HEIGHT, RIGHT, TOP, plot

readings = st.decimals(min_value=-2000, max_value=2000, places=3)
several = st.lists(st.tuples(readings, readings), min_size=1, max_size=40)
limits = st.none() | st.decimals(min_value="0.001", max_value=500, places=3)


@given(several, limits)
def test_everything_lies_within_the_field(pairs, most):
    drawn = plot(pairs, agreement(pairs), most)

    assert all(LEFT <= mark.x <= RIGHT and TOP <= mark.y <= BOTTOM for mark in drawn.marks)
    assert all(TOP <= level.y <= BOTTOM for level in drawn.levels)
    assert all(LEFT <= tick.at <= RIGHT for tick in drawn.x_ticks)
    assert all(TOP <= tick.at <= BOTTOM for tick in drawn.y_ticks)
    assert TOP <= drawn.zero <= BOTTOM


@given(several, limits)
def test_labels_stand_apart_and_every_pair_is_drawn(pairs, most):
    drawn = plot(pairs, agreement(pairs), most)
    heights = [level.label_y for level in drawn.levels]

    assert all(below - above >= LINE_HEIGHT - 1e-9 for above, below in pairwise(heights))
    assert sum(mark.count for mark in drawn.marks) == len(pairs)


@given(several, limits)
def test_ticks_are_round_even_and_enough(pairs, most):
    for ticks in (plot(pairs, agreement(pairs), most).x_ticks, plot(pairs, agreement(pairs), most).y_ticks):
        steps = {round(later.value - earlier.value, 9) for earlier, later in pairwise(ticks)}

        assert 2 <= len(ticks) <= 7
        assert len(steps) == 1
        assert f"{steps.pop():e}"[0] in "125"


def test_marks_lie_where_their_values_say():
    pairs = [(Decimal(3), Decimal(1)), (Decimal(4), Decimal(4)), (Decimal(5), Decimal(5))]

    drawn = plot(pairs, agreement(pairs), Decimal(1))

    far, one, other = drawn.marks
    assert (far.is_beyond, one.is_beyond) == (True, False)
    assert far.y < one.y == other.y == pytest.approx(drawn.zero)
    assert one.x - far.x == pytest.approx(2 * (other.x - one.x))  # means 2, 4 and 5
    top, height = drawn.band
    assert top + height / 2 == pytest.approx(drawn.zero)


def test_pairs_alike_are_one_mark_with_their_number():
    drawn = plot([(Decimal("4.1"), Decimal(4))] * 3, agreement([(Decimal("4.1"), Decimal(4))] * 3), None)

    assert [mark.count for mark in drawn.marks] == [3]
    assert drawn.band is None
