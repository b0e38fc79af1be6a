"""Item statistics against a published data set and against independent libraries."""

import numpy as np
import pandas
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import pointbiserialr
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm

from assessments.statistics import items
from assessments.statistics.items import ItemAnswer, discrimination, item_figures, rest_shares
from assessments.statistics.reliability import cronbach_alpha, reliability
from assessments.vocabulary import Verdict

# Ten students by ten items: K. L. Wuensch, East Carolina University, StatHelp, KR20.txt (10.1 and 10.2 of the
# reference values).
STUDENTS = [
    [1, 1, 1, 1, 1, 1, 0, 1, 1, 0],
    [1, 0, 1, 1, 0, 1, 1, 1, 0, 1],
    [1, 1, 1, 1, 0, 1, 1, 0, 0, 1],
    [0, 0, 1, 0, 0, 0, 1, 0, 0, 0],
    [0, 0, 0, 0, 0, 1, 0, 0, 1, 0],
    [1, 1, 1, 0, 1, 1, 1, 1, 1, 1],
    [1, 1, 0, 1, 1, 1, 0, 1, 1, 1],
    [1, 1, 1, 1, 1, 1, 1, 1, 0, 1],
    [0, 1, 0, 1, 1, 1, 1, 1, 0, 1],
    [1, 1, 0, 1, 1, 0, 1, 1, 1, 0],
]


@pytest.fixture
def few_will_do(monkeypatch):
    """Let ten answers be enough, since the published example has no more."""
    monkeypatch.setattr(items, "LEAST_ANSWERS", 10)


def answers(rows=STUDENTS):
    return [
        ItemAnswer(sitting=sitting, place=place, item=f"{place:02}", verdict=Verdict.RIGHT if mark else Verdict.OTHER)
        for sitting, row in enumerate(rows)
        for place, mark in enumerate(row, start=1)
    ]


# 10.1a the source's own; d and e by scipy 1.17.1 pointbiserialr on its data, with the rest score. With the item left
# in its own total they would be 0.795 and 0.083.
@pytest.mark.parametrize(("item", "expected"), [("01", 0.706), ("09", -0.124)])
def test_discrimination_of_the_published_data(few_will_do, item, expected):
    found = {each.item: each for each in item_figures(answers())}

    assert found[item].discrimination == pytest.approx(expected, abs=0.001)


def test_difficulty_of_the_published_data():
    assert item_figures(answers())[0].difficulty == pytest.approx(0.7, abs=1e-4)


def test_example_of_the_scipy_documentation(few_will_do):
    # 10.1f: scipy, pointbiserialr, example: 0.8660; here three times over, which changes no correlation.
    right, rests = [0, 0, 0, 1, 1, 1, 1], [0, 1, 2, 3, 4, 5, 6]

    assert discrimination([bool(each) for each in right] * 3, rests * 3) == pytest.approx(0.8660, abs=1e-4)


rows_of_marks = st.lists(st.lists(st.integers(0, 1), min_size=5, max_size=5), min_size=20, max_size=40)


@given(rows_of_marks)
def test_discrimination_is_the_point_biserial_correlation_of_scipy(rows):
    right = [bool(row[0]) for row in rows]
    rests = [rest for (_, place), rest in sorted(rest_shares(answers(rows)).items()) if place == 1]
    assume(len(set(right)) == 2 and len(set(rests)) > 1)

    assert discrimination(right, rests) == pytest.approx(float(pointbiserialr(right, rests).statistic), abs=1e-9)


@given(st.lists(st.integers(0, 600), min_size=2, max_size=30))
def test_quartiles_are_those_of_numpy(seconds):
    found = item_figures(
        [
            ItemAnswer(sitting=number, place=1, item="A", verdict=Verdict.RIGHT, seconds=each)
            for number, each in enumerate(seconds)
        ]
    )[0].seconds

    assert [found.quarter, found.middle, found.three_quarters] == pytest.approx(np.percentile(seconds, [25, 50, 75]))


def test_reliability_of_the_published_data():
    # 10.2c KR-20 with p q and the variance 5.84 both over n: 10/9 (1 - 2.18/5.84); 10.2d the same by pingouin 0.7.0
    # cronbach_alpha. With the variance over n - 1 it would be 0.738.
    assert cronbach_alpha(STUDENTS) == pytest.approx(0.696, abs=0.001)
    assert cronbach_alpha(STUDENTS) == pytest.approx(10 / 9 * (1 - 2.18 / 5.84), abs=1e-9)


def test_standard_error_of_the_published_data():
    # s sqrt(1 - alpha) with s^2 = 5.84 * 10/9 (classical test theory).
    assert reliability(STUDENTS).error == pytest.approx((5.84 * 10 / 9 * (1 - 0.6963)) ** 0.5, abs=0.001)


def by_analysis_of_variance(rows):
    """Return alpha by Hoyt, Psychometrika 6, 153 (1941): 1 less residual over people's mean square, by statsmodels."""
    frame = pandas.DataFrame(
        [
            {"person": person, "item": item, "score": score}
            for person, row in enumerate(rows)
            for item, score in enumerate(row)
        ]
    )
    table = anova_lm(ols("score ~ C(person) + C(item)", frame).fit())["mean_sq"]
    return 1 - table["Residual"] / table["C(person)"]


def test_alpha_is_that_of_the_analysis_of_variance():
    assert cronbach_alpha(STUDENTS) == pytest.approx(by_analysis_of_variance(STUDENTS), abs=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_alpha_of_random_scores_is_that_of_the_analysis_of_variance(seed):
    chance = np.random.default_rng(seed)
    ability = chance.normal(size=(15, 1))
    rows = (ability + chance.normal(size=(15, 5)) > 0).astype(int).tolist()

    assert cronbach_alpha(rows) == pytest.approx(by_analysis_of_variance(rows), abs=1e-9)
