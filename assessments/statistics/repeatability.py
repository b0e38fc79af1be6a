"""How far one person's readings of one thing lie apart. Pure."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Final

from assessments.statistics.intervals import NORMAL_95

#: The difference of two results has the root of twice the variance of one.
OF_TWO: Final = NORMAL_95 * math.sqrt(2)


@dataclass(frozen=True, slots=True)
class Repeatability:
    """The standard deviation of repeats and the limit that two of them keep 95 times in 100, in the readings' unit.

    `freedom` is how many repeats there were beyond the first of each thing.
    """

    deviation: float
    freedom: int

    @property
    def limit(self) -> float:
        """Return the repeatability limit, 1.96 times the root of 2 (2.77; rounded to 2.8 in the standard)."""
        return OF_TWO * self.deviation


def repeatability(groups: Iterable[Sequence[float]]) -> Repeatability | None:
    """Return the repeatability of readings, or None where nothing was read twice.

    Parameters
    ----------
    groups : iterable of sequences of float
        What one person read of one thing with one tool shortly after each other, a group for each thing, in one unit.
        Groups of one tell nothing and are passed over.

    References
    ----------
    ISO 5725-2, 7.4.5 (pooled within-group variance), and ISO 5725-6, 4.1 (limit); clauses from memory. For pairs it is
    the root of the sum of squared differences over twice their number.
    """
    squares, freedom = 0.0, 0
    for group in groups:
        if len(group) > 1:
            middle = fmean(group)
            squares += math.fsum((value - middle) ** 2 for value in group)
            freedom += len(group) - 1
    return Repeatability(math.sqrt(squares / freedom), freedom) if freedom else None
