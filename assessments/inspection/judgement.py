"""How well somebody tells good from faulty: detection and agreement with the truth, each with its interval.

Sources: M. J. Hautus, Corrections for extreme proportions and their biasing effects on estimated values of d', 1995
(log-linear correction); Gourevitch and Galanter, A significance test for one parameter isosensitivity functions,
1967 (variance of d'); J. Cohen, A coefficient of agreement for nominal scales, 1960; Fleiss, Cohen and Everitt, Large
sample standard errors of kappa and weighted kappa, 1969. All from memory; held against other people's figures and
libraries in tests/outside.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from statistics import NormalDist

#: With fewer of either kind, the correction weighs more than what was seen, and no figure is given.
FEWEST_OF_EACH = 8
#: Standard errors either way of a 95 % interval.
Z95 = NormalDist().inv_cdf(0.975)

_NORMAL = NormalDist()


class Answered(StrEnum):
    """What an answer was, held against the truth."""

    PASSED = "passed"
    NAMED = "named"
    MISNAMED = "misnamed"
    MISSED = "missed"
    FALSE_ALARM = "false_alarm"


def answered(truth: str, *, rejected: bool, named: str) -> Answered:
    """Return what an answer was; `truth` is the code of the fault, empty for a good one."""
    if not truth:
        return Answered.FALSE_ALARM if rejected else Answered.PASSED
    if not rejected:
        return Answered.MISSED
    return Answered.NAMED if named == truth else Answered.MISNAMED


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure without a unit, with its 95 % interval."""

    value: float
    low: float
    high: float


def _interval(value: float, standard_error: float) -> Estimate:
    return Estimate(value, value - Z95 * standard_error, value + Z95 * standard_error)


@dataclass(frozen=True, slots=True)
class Counts:
    """What became of so many drawings. Rejecting is the answer "yes": a faulty one rejected is a hit."""

    hits: int = 0
    misses: int = 0
    false_alarms: int = 0
    right_passes: int = 0

    @property
    def faulty(self) -> int:
        """Return how many had a fault."""
        return self.hits + self.misses

    @property
    def good(self) -> int:
        """Return how many had none."""
        return self.false_alarms + self.right_passes

    @property
    def seen(self) -> int:
        """Return how many there were."""
        return self.faulty + self.good

    @property
    def are_enough(self) -> bool:
        """Whether there are enough of each kind for a figure that means something."""
        return min(self.faulty, self.good) >= FEWEST_OF_EACH

    @property
    def still_needed(self) -> int:
        """Return how many faulty and good ones are missing together before figures are given."""
        return max(0, FEWEST_OF_EACH - self.faulty) + max(0, FEWEST_OF_EACH - self.good)


def corrected_rates(counts: Counts) -> tuple[float, float]:
    """Return the rates [1] of hits and of false alarms, a half added to each count and one to each total.

    So that neither is 0 or 1, where the normal quantile has no value; always, not only when it is needed.
    """
    return (counts.hits + 0.5) / (counts.faulty + 1), (counts.false_alarms + 0.5) / (counts.good + 1)


def d_prime(counts: Counts) -> Estimate:
    """Return d' [1], how far apart good and faulty lie for this pair of eyes: z(hits) - z(false alarms).

    The variance is H (1 - H) / (n phi(z_H)^2) + F (1 - F) / (m phi(z_F)^2), with the corrected rates and totals.
    """
    hit_rate, alarm_rate = corrected_rates(counts)
    z_hit, z_alarm = _NORMAL.inv_cdf(hit_rate), _NORMAL.inv_cdf(alarm_rate)
    variance = _share(hit_rate, z_hit, counts.faulty + 1) + _share(alarm_rate, z_alarm, counts.good + 1)
    return _interval(z_hit - z_alarm, math.sqrt(variance))


def _share(rate: float, z: float, total: int) -> float:
    return rate * (1 - rate) / (total * _NORMAL.pdf(z) ** 2)


def criterion(counts: Counts) -> float:
    """Return the criterion c [1], -(z(hits) + z(false alarms)) / 2: above 0 lets through, below 0 stops readily."""
    hit_rate, alarm_rate = corrected_rates(counts)
    return -(_NORMAL.inv_cdf(hit_rate) + _NORMAL.inv_cdf(alarm_rate)) / 2


def kappa(counts: Counts) -> Estimate | None:
    """Return Cohen's kappa [1] of the answers with the truth, or None where chance alone agrees fully.

    The standard error is the large-sample one of Fleiss, Cohen and Everitt.
    """
    total = counts.seen
    if not total:
        return None
    table = (
        (counts.hits / total, counts.misses / total),
        (counts.false_alarms / total, counts.right_passes / total),
    )
    truth = [sum(row) for row in table]
    answers = [table[0][index] + table[1][index] for index in (0, 1)]
    agreed = table[0][0] + table[1][1]
    by_chance = truth[0] * answers[0] + truth[1] * answers[1]
    if math.isclose(by_chance, 1):
        return None
    value = (agreed - by_chance) / (1 - by_chance)
    return _interval(value, math.sqrt(_kappa_variance(table, truth, answers, by_chance, value) / total))


def _kappa_variance(
    table: tuple[tuple[float, float], tuple[float, float]],
    truth: list[float],
    answers: list[float],
    by_chance: float,
    value: float,
) -> float:
    on = sum(table[i][i] * (1 - (truth[i] + answers[i]) * (1 - value)) ** 2 for i in (0, 1))
    off = sum(table[i][1 - i] * (answers[i] + truth[1 - i]) ** 2 for i in (0, 1)) * (1 - value) ** 2
    rest = (value - by_chance * (1 - value)) ** 2
    return max(0.0, on + off - rest) / (1 - by_chance) ** 2
