"""Intervals that hold a true value 95 times in 100. Pure."""

import math
from dataclasses import dataclass
from typing import Final

from scipy.special import stdtrit

#: The quantile of the normal distribution that leaves 2.5 % on either side.
NORMAL_95: Final = 1.96
TAIL: Final = 0.975


@dataclass(frozen=True, slots=True)
class Interval:
    """Two values and what lies between, both included."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value lies in it."""
        return self.low <= value <= self.high


def around(middle: float, standard_error: float, freedom: int) -> Interval:
    """Return the 95 % interval of Student's t about an estimate.

    Parameters
    ----------
    middle, standard_error : float
        The estimate and its standard error, in the same unit.
    freedom : int
        Degrees of freedom [-], at least 1.
    """
    half = float(stdtrit(freedom, TAIL)) * standard_error
    return Interval(middle - half, middle + half)


def wilson(hits: int, tries: int) -> Interval:
    """Return the 95 % interval of a share by its score.

    It stays within 0 to 1 and is of use at few tries and at shares of 0 and 1, where the usual one has no width.

    Parameters
    ----------
    hits, tries : int
        Counts [-], 0 <= hits <= tries, tries >= 1.

    Raises
    ------
    ValueError
        For other counts.

    References
    ----------
    Wilson, J. Am. Stat. Assoc. 22, 209 (1927).
    """
    if not 0 <= hits <= tries or tries < 1:
        raise ValueError(f"no share: {hits} of {tries}")
    share, square = hits / tries, NORMAL_95**2
    middle = (share + square / (2 * tries)) / (1 + square / tries)
    half = NORMAL_95 * math.sqrt(share * (1 - share) / tries + square / (4 * tries**2)) / (1 + square / tries)
    # At the ends the exact value is the end itself; rounding may not step over it.
    return Interval(0.0 if hits == 0 else middle - half, 1.0 if hits == tries else middle + half)
