"""How lenient an assessor is: own share of criteria met, less what is expected of tasks and trainees (R15.3). Pure.

The chance that a criterion is met is taken as logistic in three things that add up: task, trainee and assessor.
Each is drawn toward the middle (a normal prior), so that somebody with few judgements is told little about; the fit is
the posterior mode, its doubt the curvature there (Laplace). Criteria of one performance go together, so the doubt is
widened by the root of Pearson's dispersion where that is above 1.

References
----------
McCullagh and Nelder, Generalized Linear Models, 2nd ed. 1989, sections 4.3 and 4.5 (logistic model, dispersion), from
memory; Hoerl and Kennard, Technometrics 12, 1970 (ridge), from memory.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt
from typing import Any, Final

import numpy as np

# Fewer performances say nothing about a person (R15.3).
LEAST: Final = 10
NORMAL_95: Final = 1.959963984540054
# How far tasks, trainees and assessors are taken to lie apart, as standard deviations in logits; common practice.
SPREAD: Final = {"task": 2.0, "trainee": 1.0, "assessor": 1.0}
MOST_STEPS, CLOSE_ENOUGH = 50, 1e-7
HALF_STEP, SMALLEST_STEP = 0.5, 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """One performance as it was judged: how many of the criteria that were seen were met. `seen` is at least 1."""

    assessor: int
    trainee: int
    task: str
    on: date
    met: int
    seen: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Leniency:
    """How an assessor differs from what is expected, in percentage points of criteria met; positive is lenient.

    `low` to `high` is the 95 % interval; `met_pct` and `expected_pct` are the two shares of the criteria seen.
    """

    assessor: int
    performances: int
    met_pct: float
    expected_pct: float
    points: float
    low: float
    high: float

    @property
    def is_clear(self) -> bool:
        """Whether the interval leaves out zero."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """The fitted model: every assessor's figure (None: too few performances), and each one by quarter.

    `doubt` is the standard error of each assessor's own part, in logits, however few performances there are.
    """

    by_assessor: Mapping[int, Leniency | None]
    by_quarter: Mapping[int, Sequence[tuple[str, Leniency]]]
    doubt: Mapping[int, float]


def quarter_of(day: date) -> str:
    """Return the quarter of a day.

    >>> quarter_of(date(2026, 5, 14))
    '2026 Q2'
    """
    return f"{day.year} Q{(day.month + 2) // 3}"


def leniencies(performances: Iterable[Performance], *, least: int = LEAST) -> Fit:
    """Return how lenient each assessor is, over all and by quarter; never from fewer than `least` performances."""
    rows = list(performances)
    if not rows:
        return Fit(by_assessor={}, by_quarter={}, doubt={})
    model = _fit(rows)
    own: dict[int, list[int]] = defaultdict(list)
    for index, row in enumerate(rows):
        own[row.assessor].append(index)
    by_assessor = {
        assessor: _leniency(rows, model, indexes, assessor) if len(indexes) >= least else None
        for assessor, indexes in own.items()
    }
    by_quarter: dict[int, list[tuple[str, Leniency]]] = {}
    for assessor, indexes in own.items():
        quarters: dict[str, list[int]] = defaultdict(list)
        for index in indexes:
            quarters[quarter_of(rows[index].on)].append(index)
        by_quarter[assessor] = [
            (name, _in_quarter(rows, model, found, assessor))
            for name, found in sorted(quarters.items())
            if len(found) >= least
        ]
    return Fit(by_assessor=by_assessor, by_quarter=by_quarter, doubt={each: _doubt(model, each) for each in own})


@dataclass(frozen=True, slots=True)
class _Model:
    """The design (a column a task, trainee or assessor), the fitted values and the covariance, already widened."""

    logits: Any
    effects: Any
    covariance: Any
    column: Mapping[tuple[str, int | str], int]
    dispersion: float


def _keys(row: Performance) -> tuple[tuple[str, int | str], ...]:
    return ("task", row.task), ("trainee", row.trainee), ("assessor", row.assessor)


def _fit(rows: Sequence[Performance]) -> _Model:
    column = {
        key: index for index, key in enumerate(dict.fromkeys(key for row in rows for key in _keys(row)), start=1)
    }
    design = np.zeros((len(rows), len(column) + 1))
    design[:, 0] = 1.0
    for index, row in enumerate(rows):
        for key in _keys(row):
            design[index, column[key]] = 1.0
    # The middle is hardly held; everything else is drawn toward it.
    prior = np.array([1e-4, *(1.0 / SPREAD[kind] ** 2 for kind, _which in column)])
    met = np.array([row.met for row in rows], dtype=float)
    seen = np.array([row.seen for row in rows], dtype=float)
    effects, curvature = _mode(design, met, seen, prior)
    logits = design @ effects
    share = _share(logits)
    # Performances that are all but certain would make of one surprise a dispersion of its own.
    spread = np.maximum(seen * share * (1.0 - share), 1e-2)
    covariance = np.linalg.inv(curvature)
    free = max(len(rows) - float(np.trace(covariance @ (design.T * (seen * share * (1.0 - share))) @ design)), 1.0)
    dispersion = max(float(((met - seen * share) ** 2 / spread).sum()) / free, 1.0)
    return _Model(logits, effects, covariance * dispersion, column, dispersion)


def _mode(design: Any, met: Any, seen: Any, prior: Any) -> tuple[Any, Any]:  # noqa: ANN401 - arrays
    """Return the posterior mode by Newton's method, halving a step that does not climb, and the curvature there."""
    effects = np.zeros(design.shape[1])
    for _step in range(MOST_STEPS):
        share = _share(design @ effects)
        slope = design.T @ (met - seen * share) - prior * effects
        curvature = (design.T * (seen * share * (1.0 - share))) @ design + np.diag(prior)
        move = np.linalg.solve(curvature, slope)
        size, here = 1.0, _height(design, met, seen, prior, effects)
        while size > SMALLEST_STEP and _height(design, met, seen, prior, effects + size * move) < here:
            size *= HALF_STEP
        effects = effects + size * move
        if float(np.abs(move).max()) < CLOSE_ENOUGH:
            break
    share = _share(design @ effects)
    return effects, (design.T * (seen * share * (1.0 - share))) @ design + np.diag(prior)


def _height(design: Any, met: Any, seen: Any, prior: Any, effects: Any) -> float:  # noqa: ANN401 - arrays
    logits = design @ effects
    return float((met * logits - seen * np.logaddexp(0.0, logits)).sum() - (prior * effects**2).sum() / 2.0)


def _share(logits: Any) -> Any:  # noqa: ANN401 - arrays
    return 1.0 / (1.0 + np.exp(-np.clip(logits, -35.0, 35.0)))


def _doubt(model: _Model, assessor: int) -> float:
    place = model.column["assessor", assessor]
    return sqrt(float(model.covariance[place, place]))


def _leniency(rows: Sequence[Performance], model: _Model, indexes: Sequence[int], assessor: int) -> Leniency:
    effect, error = float(model.effects[model.column["assessor", assessor]]), _doubt(model, assessor)
    edges = [effect - NORMAL_95 * error, effect + NORMAL_95 * error]
    seen, met, others = _own(rows, model, indexes, effect)
    expected = _mean_share(others, seen)
    low, high = (_mean_share(others + edge, seen) - expected for edge in edges)
    return Leniency(
        assessor=assessor,
        performances=len(indexes),
        met_pct=100 * met / float(seen.sum()),
        expected_pct=100 * expected,
        points=100 * (_mean_share(others + effect, seen) - expected),
        low=100 * low,
        high=100 * high,
    )


def _in_quarter(rows: Sequence[Performance], model: _Model, indexes: Sequence[int], assessor: int) -> Leniency:
    """Return the plain difference of a quarter from what is expected without the assessor's own part."""
    effect = float(model.effects[model.column["assessor", assessor]])
    seen, met, others = _own(rows, model, indexes, effect)
    share = _share(others + effect)
    expected, whole = _mean_share(others, seen), float(seen.sum())
    error = sqrt(model.dispersion * float((seen * share * (1.0 - share)).sum())) / whole
    points = met / whole - expected
    return Leniency(
        assessor=assessor,
        performances=len(indexes),
        met_pct=100 * met / whole,
        expected_pct=100 * expected,
        points=100 * points,
        low=100 * (points - NORMAL_95 * error),
        high=100 * (points + NORMAL_95 * error),
    )


def _own(rows: Sequence[Performance], model: _Model, indexes: Sequence[int], effect: float) -> tuple[Any, int, Any]:
    seen = np.array([rows[index].seen for index in indexes], dtype=float)
    return seen, sum(rows[index].met for index in indexes), model.logits[list(indexes)] - effect


def _mean_share(logits: Any, seen: Any) -> float:  # noqa: ANN401 - arrays
    return float((_share(logits) * seen).sum() / seen.sum())
