"""Repeatability, on repeats worked by hand; the published limit is in tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.repeatability import repeatability

values = st.floats(-100, 100)
groups = st.lists(st.lists(values, min_size=2, max_size=4), min_size=1, max_size=10)


@pytest.mark.parametrize("found", [[], [[1.0]], [[1.0], [2.0], []]])
def test_nothing_read_twice_has_no_repeatability(found):
    assert repeatability(found) is None


def test_pairs_give_the_root_of_squared_differences_over_twice_their_number():
    found = repeatability([[10.0, 10.2], [9.0, 9.4], [8.0]])

    assert found.deviation == pytest.approx(((0.04 + 0.16) / 4) ** 0.5)
    assert found.freedom == 2


def test_three_repeats_have_two_degrees_of_freedom():
    found = repeatability([[1.0, 2.0, 3.0]])

    assert (found.deviation, found.freedom) == (pytest.approx(1.0), 2)


@given(groups, values)
def test_shift_of_everything_changes_nothing(found, shift):
    moved = repeatability([[value + shift for value in group] for group in found])

    assert moved.deviation == pytest.approx(repeatability(found).deviation, abs=1e-6)


@given(groups)
def test_what_lies_between_things_does_not_count(found):
    apart = [[value + 1000 * place for value in group] for place, group in enumerate(found)]

    assert repeatability(apart).deviation == pytest.approx(repeatability(found).deviation, abs=1e-6)
