"""Reliability of a check where it is defined and where it is not; the published figures are in tests/outside."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.reliability import Reliability, cronbach_alpha, reliability

scores = st.integers(2, 6).flatmap(
    lambda problems: st.lists(
        st.lists(st.integers(0, 1), min_size=problems, max_size=problems), min_size=2, max_size=12
    )
)

UNDEFINED = [
    ("no sitting", []),
    ("one sitting", [[1, 0, 1]]),
    ("one problem", [[1], [0], [1]]),
    ("equal totals", [[1, 0], [0, 1], [1, 0]]),
    ("all right", [[1, 1], [1, 1]]),
]


@pytest.mark.parametrize("rows", [row[1] for row in UNDEFINED], ids=[row[0] for row in UNDEFINED])
def test_alpha_is_undefined(rows):
    assert cronbach_alpha(rows) is None
    assert (reliability(rows).alpha, reliability(rows).error, reliability(rows).is_firm) == (None, None, False)


def test_problems_that_go_together_wholly_have_alpha_one():
    found = reliability([[1, 1, 1], [0, 0, 0], [1, 1, 1], [0, 0, 0]])

    assert found.alpha == pytest.approx(1)
    assert found.error == pytest.approx(0)


def test_rows_of_unequal_length_are_refused():
    with pytest.raises(ValueError, match="zip"):
        cronbach_alpha([[1, 0], [1]])


@given(scores)
def test_alpha_is_at_most_one_and_order_does_not_matter(rows):
    found = cronbach_alpha(rows)
    turned = cronbach_alpha([list(reversed(row)) for row in reversed(rows)])

    assert found == (None if turned is None else pytest.approx(turned))
    assert found is None or found <= 1 + 1e-12


@given(scores)
def test_error_is_never_above_the_deviation_of_the_totals(rows):
    found = reliability(rows)

    if found.error is not None:
        totals = [sum(row) for row in rows]
        mean = sum(totals) / len(totals)
        assert 0 <= found.error**2 <= sum((each - mean) ** 2 for each in totals) / (len(totals) - 1) + 1e-9


def test_a_negative_alpha_takes_all_that_parts_the_sittings_for_chance():
    rows = [list(row) for row in set(permutations([1, 1, 0]))] + [[1, 1, 1]]

    found = reliability(rows)

    assert found.alpha < 0
    assert found.error == pytest.approx(0.5)  # totals 2, 2, 2, 3


@pytest.mark.parametrize(
    ("error", "mark", "expected"),
    [
        (0.0, 4, []),
        (0.4, 4, []),
        (0.5, 4, [3, 4]),
        (1.4, 4, [3, 4]),
        (1.5, 4, [2, 3, 4, 5]),
        (9.0, 1, [0, 1, 2, 3, 4, 5]),
    ],
)
def test_results_near_the_mark_are_unsure(error, mark, expected):
    found = Reliability(sittings=30, problems=5, alpha=0.5, error=error)

    assert list(found.unsure(mark)) == expected


@pytest.mark.parametrize(("sittings", "is_firm"), [(19, False), (20, True)])
def test_reliability_is_firm_from_twenty_sittings_on(sittings, is_firm):
    assert Reliability(sittings=sittings, problems=5, alpha=0.5, error=1).is_firm is is_firm
