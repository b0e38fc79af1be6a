"""How well somebody inspects, against published figures and independent libraries."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom, norm
from sklearn.metrics import cohen_kappa_score
from statsmodels.stats.inter_rater import cohens_kappa

from assessments.inspection.dots import dots_of
from assessments.inspection.judgement import Counts, corrected_rates, criterion, d_prime, kappa
from assessments.inspection.label import PLACES, Stuck
from tests.assessments.inspection.measuring import make

few = st.integers(min_value=0, max_value=60)


def counts_of(table):
    """Return the counts of a table whose rows are the truth (faulty, good) and whose columns reject or accept."""
    (hits, misses), (false_alarms, right_passes) = table
    return Counts(hits=hits, misses=misses, false_alarms=false_alarms, right_passes=right_passes)


def test_d_prime_gives_the_worked_example_of_statpsych():
    # R package statpsych 1.7, help page of `signal`, after Wickens 2002: 82 of 100 and 46 of 100, a half added to
    # each count and one to each total. Its bias is the criterion c.
    counts = counts_of([(82, 18), (46, 54)])

    assert corrected_rates(counts) == (pytest.approx(0.8168317, abs=5e-8), pytest.approx(0.460396, abs=5e-7))
    assert d_prime(counts).value == pytest.approx(1.002793, abs=5e-7)
    assert criterion(counts) == pytest.approx(-0.4019603, abs=5e-8)


def test_d_prime_without_the_correction_would_give_the_example_of_1985():
    # UNIX |STAT manual, dprime(1), October 1985: hit rate 0.7 and false-alarm rate 0.4 print d' 0.78. So many drawings
    # that the correction no longer shows.
    counts = counts_of([(700_000, 300_000), (400_000, 600_000)])

    assert d_prime(counts).value == pytest.approx(0.78, abs=0.005)


@settings(max_examples=200)
@given(few, few, few, few)
def test_d_prime_agrees_with_scipy(hits, misses, false_alarms, right_passes):
    counts = Counts(hits, misses, false_alarms, right_passes)
    hit_rate, alarm_rate = (hits + 0.5) / (hits + misses + 1), (false_alarms + 0.5) / (false_alarms + right_passes + 1)

    estimate = d_prime(counts)

    assert estimate.value == pytest.approx(norm.ppf(hit_rate) - norm.ppf(alarm_rate), abs=1e-9)
    assert criterion(counts) == pytest.approx(-(norm.ppf(hit_rate) + norm.ppf(alarm_rate)) / 2, abs=1e-9)
    variance = sum(
        rate * (1 - rate) / (total * norm.pdf(norm.ppf(rate)) ** 2)
        for rate, total in ((hit_rate, counts.faulty + 1), (alarm_rate, counts.good + 1))
    )
    assert estimate.high - estimate.low == pytest.approx(2 * norm.ppf(0.975) * variance**0.5, rel=1e-9)


def test_interval_of_d_prime_holds_the_truth_about_as_often_as_it_says():
    # The exact binomial distribution for 40 faulty and 60 good ones at d' = 1.5, c = 0.2: no simulation.
    true, lean, faulty, good = 1.5, 0.2, 40, 60
    hit_rate, alarm_rate = norm.cdf(true / 2 - lean), norm.cdf(-true / 2 - lean)
    held = 0.0
    for hits in range(faulty + 1):
        for alarms in range(good + 1):
            found = d_prime(Counts(hits, faulty - hits, alarms, good - alarms))
            if found.low <= true <= found.high:
                held += binom.pmf(hits, faulty, hit_rate) * binom.pmf(alarms, good, alarm_rate)

    assert held == pytest.approx(0.95, abs=0.02)


# Tables of the reference values, section 9.3.
TABLES = [
    # "Cohen's kappa coefficient", encyclopaedia example of 50 grant proposals
    ([(20, 5), (10, 15)], 0.4, 0.001),
    # easycalculation.com, "Cohen's kappa index"
    ([(12, 2), (4, 2)], 0.21, 0.005),
    # scikit-learn 1.9.1 and statsmodels 0.15.0
    ([(45, 15), (25, 15)], 0.1304, 0.0005),
    ([(25, 35), (5, 35)], 0.2593, 0.0005),
]


@pytest.mark.parametrize(("table", "expected", "tolerance"), TABLES)
def test_kappa_gives_the_published_figure(table, expected, tolerance):
    assert kappa(counts_of(table)).value == pytest.approx(expected, abs=tolerance)


@settings(max_examples=200)
@given(few, few, few, few)
def test_kappa_agrees_with_two_libraries(hits, misses, false_alarms, right_passes):
    table = [(hits, misses), (false_alarms, right_passes)]
    truth = [1] * (hits + misses) + [0] * (false_alarms + right_passes)
    said = [1] * hits + [0] * misses + [1] * false_alarms + [0] * right_passes

    estimate = kappa(counts_of(table))

    if len(set(truth) | set(said)) < 2:
        assert estimate is None
        return
    assert estimate.value == pytest.approx(cohen_kappa_score(truth, said), abs=1e-9)
    # It also works out a test that does not exist for every table.
    with np.errstate(all="ignore"):
        other = cohens_kappa([list(row) for row in table])
    assert estimate.value == pytest.approx(other.kappa, abs=1e-9)
    # statsmodels gives no number where rounding makes its variance just negative.
    if other.var_kappa >= 0:
        assert estimate.low == pytest.approx(other.kappa_low, abs=1e-6)
        assert estimate.high == pytest.approx(other.kappa_upp, abs=1e-6)


def test_kappa_is_nought_when_nothing_is_ever_stopped():
    # Reference values 9.3, note: 96 % agreement can have kappa 0 when one rater never finds a fault.
    assert kappa(counts_of([(0, 4), (0, 96)])).value == pytest.approx(0)


def test_unconverted_mash_is_black():
    # Common practice, no source: iodine on an unconverted mash turns black.
    items = (make("spot_plate", seed) for seed in range(400))
    plates = [item for item in items if item.planned.fault == "starch"]

    assert plates
    for item in plates:
        assert any(each.value == "blue-black" for each in item.specimen.measures)


def test_allowed_skew_is_the_reference_value():
    # Reference values 8.7, d: at 1 degree a label of 90 mm has corners 1.57 mm apart. The drawing turns by the same
    # geometry: the sine of its angle is the difference over the width, which at small angles is the tangent.
    label = Stuck(place=PLACES[0], specified=35, left=35.0 + 0.454, right=35.0 - 0.454, turned=0, is_there=True)

    assert label.angle_deg == pytest.approx(1.0, abs=0.005)
    assert 90 * math.tan(math.radians(label.angle_deg)) == pytest.approx(1.57, abs=0.01)


def alike(*missing):
    """Return the figures that print alike when these rows of dots are missing."""
    seen = {}
    for figure in "0123456789":
        seen.setdefault(frozenset(dots_of(figure, missing_rows=frozenset(missing))), []).append(figure)
    return {"".join(figures) for figures in seen.values() if len(figures) > 1}


def test_figures_are_told_apart_as_the_limit_of_missing_rows_says():
    # One row may be missing, and no figure passes for another; with three some do, as the advice says.
    assert not any(alike(row) for row in range(7))
    assert {pair for row in range(5) for pair in alike(row, row + 1, row + 2)} == {"35", "08"}
