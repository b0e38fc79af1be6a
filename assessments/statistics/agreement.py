"""How far two people's readings of the same thing agree, and what that means against a task's limit. Pure.

A difference is always the trainee's reading less the other's: above 0 the trainee reads high.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from statistics import StatisticsError, correlation, fmean, stdev
from typing import Final, TypeAlias

from scipy.special import stdtrit

from assessments.statistics.intervals import NORMAL_95, TAIL, Interval, around

#: Of fewer pairs nothing is said but the count; the trade has no figure of its own for this.
LEAST_PAIRS: Final = 6
#: A limit that is kept to the last digit is not broken by the rounding of floats.
HAIR: Final = 1e-9

#: The trainee's and the other's reading of the same thing, with the digits they were read off with.
Pair: TypeAlias = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits of agreement with their intervals, in the unit of the readings."""

    low: float
    high: float
    low_within: Interval
    high_within: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What some differences tell, in the unit of the readings.

    `bias` is their mean and `spread` their standard deviation (divided by n - 1). Of a single pair there is only the
    bias. `is_steady` says that the bias is no chance; `grows` that the differences go with the size of the reading,
    and one pair of limits does not fit all of them.
    """

    pairs: int
    bias: float
    spread: float | None = None
    bias_within: Interval | None = None
    limits: Limits | None = None
    grows: bool = False

    @property
    def is_steady(self) -> bool:
        """Whether the interval of the bias leaves out 0: one of the two reads high."""
        return self.bias_within is not None and not self.bias_within.holds(0)


def agreement(pairs: Sequence[Pair], *, width: float = NORMAL_95) -> Agreement:
    """Return bias and limits of agreement of pairs of readings.

    The limits are the mean difference and `width` standard deviations on either side: 1.96 here, 2 in the paper of
    1986. Valid where the differences are about normal and even over the range of the readings. The interval of a limit
    is an approximation: its outer end lies inside the exact one by 1.24 standard deviations with 6 pairs, 0.45 with
    12, 0.15 with 30 and 0.04 with 100.

    Parameters
    ----------
    pairs : sequence of (Decimal, Decimal)
        The trainee's and the other's reading of the same thing, in one unit.
    width : float
        Half width of the limits [standard deviations].

    Raises
    ------
    ValueError
        When there are no pairs.

    References
    ----------
    Bland and Altman, Lancet 327, 307 (1986); the variance of a limit, s^2 (1/n + width^2 / (2 (n - 1))), is that of
    Bland and Altman, Stat. Methods Med. Res. 8, 135 (1999), section 2.
    """
    if not pairs:
        raise ValueError("no pairs")
    # Taken as decimals: 4.3 less 4.1 is as much as 4.1 less 3.9.
    differences = [float(one - other) for one, other in pairs]
    count, bias = len(pairs), fmean(differences)
    if count == 1:
        return Agreement(pairs=count, bias=bias)
    spread = stdev(differences)
    edge = spread * math.sqrt(1 / count + width**2 / (2 * (count - 1)))
    low, high = bias - width * spread, bias + width * spread
    return Agreement(
        pairs=count,
        bias=bias,
        spread=spread,
        bias_within=around(bias, spread / math.sqrt(count), count - 1),
        limits=Limits(
            low=low,
            high=high,
            low_within=around(low, edge, count - 1),
            high_within=around(high, edge, count - 1),
        ),
        grows=_grows([float(one + other) / 2 for one, other in pairs], differences),
    )


def _grows(sizes: Sequence[float], differences: Sequence[float]) -> bool:
    """Whether size and difference correlate beyond chance (t test, 5 %), of enough pairs to say so."""
    if len(sizes) < LEAST_PAIRS:
        return False
    try:
        r = correlation(sizes, differences)
    except StatisticsError:  # all of one size, or all of one difference
        return False
    freedom = len(sizes) - 2
    return abs(r) * math.sqrt(freedom) > float(stdtrit(freedom, TAIL)) * math.sqrt(max(0.0, 1 - r * r))


class Finding(StrEnum):
    """What is to be said of an agreement, the gravest first."""

    READS_OFF = "reads_off"
    SCATTERS = "scatters"
    AGREES = "agrees"
    TOO_FEW = "too_few"
    NO_LIMIT = "no_limit"


def finding(found: Agreement, most: Decimal | None) -> Finding:
    """Return the verdict on an agreement where `most` may lie between two readings (None: the task sets no limit).

    Readings agree when both limits of agreement lie within it: 95 of 100 pairs then keep the task's limit. Where they
    do not, either a bias that is no chance is to blame, or the readings scatter.
    """
    if found.pairs < LEAST_PAIRS or found.limits is None:
        return Finding.TOO_FEW
    if most is None:
        return Finding.NO_LIMIT
    room = float(most) + HAIR * max(1.0, float(most))
    if -room <= found.limits.low and found.limits.high <= room:
        return Finding.AGREES
    return Finding.READS_OFF if found.is_steady else Finding.SCATTERS


def beyond(pairs: Sequence[Pair], most: Decimal | None) -> int:
    """Return how many pairs lie further apart than the task lets them (None: it sets no limit, and none does)."""
    return 0 if most is None else sum(abs(one - other) > most for one, other in pairs)
