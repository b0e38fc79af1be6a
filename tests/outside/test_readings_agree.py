"""Agreement of readings against the published example of Bland and Altman, and against independent libraries."""

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import nct, norm
from statsmodels.stats.proportion import proportion_confint
from statsmodels.stats.weightstats import DescrStatsW

from assessments.statistics.agreement import agreement
from assessments.statistics.intervals import wilson
from assessments.statistics.repeatability import Repeatability, repeatability

# Peak flow of 17 people by two meters, L/min: Bland and Altman, Lancet 327, 307 (1986), as quoted in several public
# test suites (9.2 of the reference values).
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
PEAK_FLOW = [(Decimal(one), Decimal(other)) for one, other in zip(LARGE, MINI, strict=True)]

# Of the paper itself: the mean difference and the standard deviation seen as quoted, the limits of 2 standard
# deviations from memory (9.2a to d).
OF_THE_PAPER = [
    ("mean difference", lambda found: found.bias, -2.1, 0.05),
    ("standard deviation", lambda found: found.spread, 38.8, 0.05),
    ("lower limit", lambda found: found.limits.low, -79.7, 0.1),
    ("upper limit", lambda found: found.limits.high, 75.5, 0.1),
]


@pytest.mark.parametrize(
    ("of", "expected", "within"), [row[1:] for row in OF_THE_PAPER], ids=[row[0] for row in OF_THE_PAPER]
)
def test_peak_flow_gives_the_figures_of_the_paper(of, expected, within):
    assert of(agreement(PEAK_FLOW, width=2)) == pytest.approx(expected, abs=within)


def test_interval_of_a_limit_is_that_of_the_paper_within_its_rounding():
    # The paper of 1986 gives -114.3 to -45.1 (seen as quoted) with 3 for 1 + 2^2/2 and for n/(n - 1); the formula of
    # 1999 keeps both, which widens the interval here by 2 %.
    within = agreement(PEAK_FLOW, width=2).limits.low_within

    assert (within.low, within.high) == (pytest.approx(-114.3, abs=0.9), pytest.approx(-45.1, abs=0.9))


def test_limits_of_196_deviations_are_those_of_the_public_suites():
    # 9.2e: -78.1, the same in several public test suites.
    limits = agreement(PEAK_FLOW).limits

    assert (limits.low, limits.high) == (pytest.approx(-78.1, abs=0.1), pytest.approx(73.9, abs=0.1))


def test_high_correlation_is_no_agreement():
    # 9.2g: r = 0.943 by numpy, with limits 150 L/min apart.
    assert float(np.corrcoef(LARGE, MINI)[0, 1]) == pytest.approx(0.943, abs=0.001)
    assert agreement(PEAK_FLOW).limits.high - agreement(PEAK_FLOW).limits.low > 150


readings = st.decimals(min_value=-500, max_value=500, places=2)
several = st.lists(st.tuples(readings, readings), min_size=3, max_size=40)


@given(several)
def test_bias_and_its_interval_are_those_of_statsmodels(pairs):
    differences = [float(one - other) for one, other in pairs]
    library, found = DescrStatsW(differences), agreement(pairs)
    assume(found.spread > 1e-6)

    assert found.bias == pytest.approx(library.mean, abs=1e-9)
    assert found.spread == pytest.approx(float(np.std(differences, ddof=1)))
    assert (found.bias_within.low, found.bias_within.high) == pytest.approx(
        library.tconfint_mean(alpha=0.05), abs=1e-8
    )


@pytest.mark.parametrize(("count", "error"), [(6, 1.24), (12, 0.45), (30, 0.15), (100, 0.04)])
def test_interval_of_a_limit_lies_so_much_inside_the_exact_one(count, error):
    """The outer end by the formula of 1999 against the exact one, in standard deviations, as the docstring states.

    Exact: Student's t that is not central (scipy), after Carkeet, Optom. Vis. Sci. 92, e71 (2015), from memory.
    """
    found = agreement([(Decimal(place % 2), Decimal(0)) for place in range(count)])
    shift = float(norm.ppf(0.975)) * math.sqrt(count)
    exact = found.bias + found.spread * float(nct.ppf(0.975, count - 1, shift)) / math.sqrt(count)

    assert (exact - found.limits.high_within.high) / found.spread == pytest.approx(error, abs=0.01)


# Repeatability, 9.1 of the reference values

DUPLICATES = [[10.1, 10.3], [9.8, 9.7], [10.4, 10.0], [10.2, 10.2], [9.9, 10.1]]


def test_repeatability_limit_is_28_deviations():
    # ISO 5725-6 by innovation.world, "Repeatability limit": 2.8 standard deviations.
    assert Repeatability(1.0, 1).limit == pytest.approx(2.8, abs=0.03)


def test_duplicates_give_the_derived_deviation_and_limit():
    # 9.1b and c: s_r is the root of the sum of d^2 over 2 n, 0.158; r = 2.8 s_r = 0.443.
    found = repeatability(DUPLICATES)

    assert found.deviation == pytest.approx(0.158, abs=0.001)
    assert found.limit == pytest.approx(0.443, abs=0.006)  # 1.96 sqrt(2) for 2.8: 1 % less
    assert found.limit < 0.5  # 9.1e: two results 0.5 apart are suspect


@given(st.lists(st.lists(st.floats(-50, 50), min_size=2, max_size=2), min_size=2, max_size=15))
def test_repeatability_is_the_pooled_deviation_of_statsmodels(groups):
    pooled = sum(DescrStatsW(group).var_ddof(1) for group in groups) / len(groups)

    assert repeatability(groups).deviation == pytest.approx(math.sqrt(pooled), abs=1e-9)


@given(st.integers(1, 400).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries))))
def test_interval_of_a_share_is_that_of_statsmodels(count):
    hits, tries = count
    found = wilson(hits, tries)

    # 1.96 for 1.95996.
    assert (found.low, found.high) == pytest.approx(proportion_confint(hits, tries, method="wilson"), abs=1e-4)
