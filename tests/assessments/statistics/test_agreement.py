"""Bias, limits and verdicts, on pairs worked by hand; the published figures are in tests/outside."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.statistics.agreement import LEAST_PAIRS, Finding, agreement, beyond, finding

readings = st.decimals(min_value=-500, max_value=500, places=2)
several = st.lists(st.tuples(readings, readings), min_size=3, max_size=30)


def pairs(*differences, base="20.0"):
    return [(Decimal(base) + Decimal(each), Decimal(base)) for each in differences]


def test_differences_of_one_two_three_have_bias_two_and_spread_one():
    found = agreement(pairs("1", "2", "3"))

    assert (found.pairs, found.bias, found.spread) == (3, 2.0, 1.0)
    assert (found.limits.low, found.limits.high) == pytest.approx((2 - 1.96, 2 + 1.96))
    # 4.303 is Student's t at 2 degrees of freedom; 1/3 + 1.96^2/4 = 1.2937.
    assert found.bias_within.high - 2 == pytest.approx(4.3027 / 3**0.5, abs=1e-3)
    assert found.limits.high_within.high - found.limits.high == pytest.approx(4.3027 * 1.2937**0.5, abs=1e-3)


def test_a_single_pair_has_a_bias_and_nothing_else():
    found = agreement(pairs("0.4"))

    assert found.bias == pytest.approx(0.4)
    assert (found.spread, found.bias_within, found.limits, found.is_steady) == (None, None, None, False)


def test_no_pairs_are_refused():
    with pytest.raises(ValueError, match="no pairs"):
        agreement([])


def test_equal_differences_have_no_spread_whatever_the_floats():
    found = agreement(
        [(Decimal("4.3"), Decimal("4.1")), (Decimal("4.1"), Decimal("3.9")), (Decimal("0.3"), Decimal("0.1"))]
    )

    assert found.spread == 0
    assert found.is_steady


@given(several)
def test_the_other_side_sees_the_same_turned_round(found):
    one, other = agreement(found), agreement([(second, first) for first, second in found])

    assert other.bias == pytest.approx(-one.bias)
    assert other.spread == pytest.approx(one.spread)
    assert other.limits.high == pytest.approx(-one.limits.low)
    assert (other.grows, other.is_steady) == (one.grows, one.is_steady)


@given(several, st.decimals(min_value=-100, max_value=100, places=2))
def test_what_shifts_both_readings_changes_no_difference(found, shift):
    shifted = agreement([(one + shift, other + shift) for one, other in found])

    assert shifted.bias == agreement(found).bias
    assert shifted.spread == agreement(found).spread


@given(several)
def test_bias_lies_midway_between_the_limits_and_within_its_interval(found):
    result = agreement(found)

    assert (result.limits.low + result.limits.high) / 2 == pytest.approx(result.bias, abs=1e-9)
    assert result.bias_within.low <= result.bias <= result.bias_within.high
    assert result.limits.low_within.high - result.limits.low_within.low >= (
        result.bias_within.high - result.bias_within.low
    )


@given(several, st.randoms())
def test_order_of_the_pairs_does_not_matter(found, chance):
    mixed = list(found)
    chance.shuffle(mixed)

    assert agreement(mixed) == agreement(found)


def test_differences_that_go_with_the_size_are_noticed():
    sizes = [Decimal(each) for each in (10, 20, 30, 40, 50, 60)]

    assert agreement([(size * Decimal("1.1"), size) for size in sizes]).grows
    assert not agreement([(size + each, size) for size, each in zip(sizes, (1, -1, 1, 1, -1, 1), strict=True)]).grows
    assert not agreement([(size * Decimal("1.1"), size) for size in sizes[:5]]).grows


VERDICTS = [
    ("agrees", ("0.1", "-0.1", "0.1", "-0.1", "0.0", "0.0"), "0.5", Finding.AGREES),
    ("steadily high, and within", ("0.2",) * 6, "0.5", Finding.AGREES),
    ("on the limit to the last digit", ("0.3",) * 6, "0.3", Finding.AGREES),
    ("high", ("0.8", "0.9", "0.7", "0.8", "0.9", "0.7"), "0.5", Finding.READS_OFF),
    ("low", ("-0.8", "-0.9", "-0.7", "-0.8", "-0.9", "-0.7"), "0.5", Finding.READS_OFF),
    ("scatters", ("0.8", "-0.9", "0.7", "-0.8", "0.9", "-0.7"), "0.5", Finding.SCATTERS),
    ("no limit", ("0.8",) * 6, None, Finding.NO_LIMIT),
    ("too few", ("0.8",) * 5, "0.5", Finding.TOO_FEW),
    ("too few, and no limit", ("0.8",), None, Finding.TOO_FEW),
]


@pytest.mark.parametrize(
    ("differences", "most", "expected"), [row[1:] for row in VERDICTS], ids=[row[0] for row in VERDICTS]
)
def test_verdict(differences, most, expected):
    limit = None if most is None else Decimal(most)

    assert finding(agreement(pairs(*differences)), limit) is expected


@given(several.filter(lambda found: len(found) >= LEAST_PAIRS), st.decimals(min_value="0.01", max_value=300, places=2))
def test_a_wider_limit_never_turns_agreement_into_its_opposite(found, most):
    result = agreement(found)

    if finding(result, most) is Finding.AGREES:
        assert finding(result, most * 2) is Finding.AGREES


def test_a_pair_on_the_limit_keeps_it():
    found = pairs("0.5", "-0.5", "0.51", "-0.6", "0.0")

    assert beyond(found, Decimal("0.5")) == 2
    assert beyond(found, None) == 0
