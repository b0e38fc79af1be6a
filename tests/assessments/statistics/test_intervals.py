"""Intervals, at their edges; against a library in tests/outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.intervals import Interval, around, wilson

counts = st.integers(1, 500).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries)))


def test_interval_holds_its_ends():
    assert Interval(-1, 2).holds(-1)
    assert Interval(-1, 2).holds(2)
    assert not Interval(-1, 2).holds(2.001)


def test_interval_without_an_error_is_a_point():
    assert around(0.3, 0.0, 5) == Interval(0.3, 0.3)


@given(counts)
def test_share_lies_within_its_interval_and_the_interval_within_0_to_1(count):
    hits, tries = count
    found = wilson(hits, tries)

    assert 0 <= found.low <= hits / tries <= found.high <= 1
    assert found.low < found.high


@given(counts)
def test_share_of_misses_has_the_interval_turned_round(count):
    hits, tries = count
    found, other = wilson(hits, tries), wilson(tries - hits, tries)

    assert other.low == pytest.approx(1 - found.high)
    assert other.high == pytest.approx(1 - found.low)


@pytest.mark.parametrize(("hits", "tries"), [(1, 0), (-1, 5), (6, 5), (0, 0)])
def test_counts_that_are_none_are_refused(hits, tries):
    with pytest.raises(ValueError, match="no share"):
        wilson(hits, tries)
