"""Leniency of assessors: a known one is found again, as an independent fit has it; little says nothing (R15.3)."""

from datetime import date, timedelta
from math import exp

import numpy as np
import pytest
from scipy.optimize import minimize

from competencies.statistics.leniency import SPREAD, Performance, leniencies, quarter_of

FIRST = date(2026, 1, 5)
# Logits by which each of these assessors differs; the first is lenient, the last strict.
KNOWN = {1: 1.2, 2: 0.0, 3: 0.0, 4: -1.2}


def simulated(seed, *, per_assessor=150, known=KNOWN):
    draws = np.random.default_rng(seed)
    tasks = {f"T{number}": draws.normal(0.5, 0.8) for number in range(8)}
    trainees = dict(enumerate(draws.normal(0.5, 0.6, 25)))
    rows = []
    for assessor, own in known.items():
        for number in range(per_assessor):
            task, trainee = f"T{draws.integers(8)}", int(draws.integers(25))
            chance = 1 / (1 + exp(-(tasks[task] + trainees[trainee] + own)))
            met = int(draws.binomial(5, chance))
            on = FIRST + timedelta(days=number * 7 % 360)
            rows.append(Performance(assessor=assessor, trainee=trainee, task=task, on=on, met=met, seen=5))
    return rows


def test_a_known_leniency_is_found_again():
    found = leniencies(simulated(7)).by_assessor

    assert found[1].low > 0
    assert found[4].high < 0
    assert found[1].points > found[2].points > found[4].points
    for each in found.values():
        assert each.low < each.points < each.high


def test_the_interval_holds_no_difference_as_often_as_it_says():
    # 20 simulations of four alike: of 80 intervals of 95 %, at most 10 should miss (binomial, chance below 1 in 100).
    misses = sum(
        each.is_clear
        for seed in range(20)
        for each in leniencies(simulated(seed, per_assessor=40, known=dict.fromkeys(KNOWN, 0.0))).by_assessor.values()
    )

    assert misses <= 10


def test_the_mode_is_that_of_an_independent_minimiser():
    rows = simulated(3, per_assessor=30)
    keys = list(dict.fromkeys(k for row in rows for k in (("task", row.task), ("trainee", row.trainee))))
    keys += [("assessor", number) for number in KNOWN]
    place = {key: index + 1 for index, key in enumerate(keys)}
    parts = [[0, place["task", r.task], place["trainee", r.trainee], place["assessor", r.assessor]] for r in rows]
    met, seen = (np.array([getattr(row, name) for row in rows], float) for name in ("met", "seen"))
    tight = np.array([1e-4, *(1 / SPREAD[kind] ** 2 for kind, _ in keys)])

    def loss(effects):
        logits = effects[np.array(parts)].sum(axis=1)
        return (seen * np.logaddexp(0, logits) - met * logits).sum() + (tight * effects**2).sum() / 2

    best = minimize(loss, np.zeros(len(tight)), method="L-BFGS-B", options={"maxiter": 5000, "ftol": 1e-14}).x
    fitted = leniencies(rows).by_assessor
    for number in KNOWN:
        own = [index for index, row in enumerate(rows) if row.assessor == number]
        logits = best[np.array(parts)].sum(axis=1)[own]
        with_own = (1 / (1 + np.exp(-logits))).mean()
        without = (1 / (1 + np.exp(-(logits - best[place["assessor", number]])))).mean()
        assert fitted[number].points == pytest.approx(100 * (with_own - without), abs=0.05)


def test_nothing_is_said_from_fewer_than_ten_performances():
    rows = [*simulated(5, per_assessor=20), *simulated(6, per_assessor=9, known={9: 3.0})]

    fit = leniencies(rows)

    assert fit.by_assessor[9] is None
    assert fit.by_quarter[9] == []
    assert fit.doubt[9] > fit.doubt[1]
    assert leniencies([]).by_assessor == {}


def test_the_least_doubt_is_with_who_judged_most():
    rows = [*simulated(5, per_assessor=200, known={1: 0.0}), *simulated(5, per_assessor=12, known={2: 0.0})]

    fit = leniencies(rows)

    assert fit.doubt[1] < fit.doubt[2]


def test_a_drift_shows_in_its_quarter():
    steady = simulated(11, per_assessor=150, known={1: 0.0, 2: 0.0})
    later = [row for row in simulated(12, per_assessor=200, known={3: -2.5}) if row.on >= date(2026, 10, 1)]
    before = [row for row in simulated(13, per_assessor=200, known={3: 0.0}) if row.on < date(2026, 10, 1)]

    quarters = dict(leniencies([*steady, *before, *later]).by_quarter[3])

    assert quarters["2026 Q4"].high < 0
    assert quarters["2026 Q4"].points < min(quarters[name].points for name in ("2026 Q1", "2026 Q2", "2026 Q3"))


@pytest.mark.parametrize("met", [0, 5])
def test_all_met_or_none_met_gives_figures_all_the_same(met):
    rows = [
        Performance(assessor=1 + number % 2, trainee=number % 4, task="T", on=FIRST, met=met, seen=5)
        for number in range(40)
    ]

    for each in leniencies(rows).by_assessor.values():
        assert each.points == pytest.approx(0, abs=3)
        assert not each.is_clear


@pytest.mark.parametrize(("day", "name"), [(date(2026, 3, 31), "2026 Q1"), (date(2026, 4, 1), "2026 Q2")])
def test_quarters_are_those_of_the_calendar(day, name):
    assert quarter_of(day) == name
