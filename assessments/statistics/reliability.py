"""How far a check would come out the same if it were sat again. Pure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import pvariance, stdev
from typing import Final

#: Fewer sittings give a figure that the next few turn over.
LEAST_SITTINGS: Final = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """What sittings of one check tell of it; `alpha` is None where it is undefined.

    `error` is the standard error of measurement, in right answers: two times in three another sitting of the same
    person would come out within it.
    """

    sittings: int
    problems: int
    alpha: float | None = None
    error: float | None = None

    @property
    def is_firm(self) -> bool:
        """Whether there were sittings enough to lean on the figure."""
        return self.alpha is not None and self.sittings >= LEAST_SITTINGS

    def unsure(self, pass_mark: int) -> range:
        """Return the numbers of right answers within one standard error of the cut below the pass mark."""
        error, cut = self.error or 0.0, pass_mark - 0.5
        least, most = math.ceil(cut - error), math.floor(cut + error)
        return range(max(0, least), min(self.problems, most) + 1)


def reliability(scores: Sequence[Sequence[int]]) -> Reliability:
    """Return the reliability of a check from the scores of its sittings.

    Parameters
    ----------
    scores : sequence of sequences of int
        A row for each sitting, one score for each problem in its order [1 right, 0 wrong]; all rows as long.

    Notes
    -----
    Assumes that every problem asks for one and the same ability and that all are answered. Problems are drawn anew for
    each sitting: the k-th of one sitting and the k-th of another are taken for the same item, since they are of the
    same kind. Differences in hardness between two draws count as chance, so that the figure is on the low side.
    """
    sittings, problems = len(scores), len(scores[0]) if scores else 0
    alpha = cronbach_alpha(scores)
    if alpha is None:
        return Reliability(sittings=sittings, problems=problems)
    # A negative alpha says that the problems have nothing in common: then all that parts the sittings is chance.
    chance = 1 - max(0.0, alpha)
    error = stdev([sum(row) for row in scores]) * math.sqrt(chance)
    return Reliability(sittings=sittings, problems=problems, alpha=alpha, error=error)


def cronbach_alpha(scores: Sequence[Sequence[int]]) -> float | None:
    """Return Cronbach's alpha; of scores of 0 and 1 it is the formula KR-20 of Kuder and Richardson.

    Both variances are divided by the number of sittings: with p q over n and the totals over n - 1, as some tables
    mix them, the figure comes out too high. None where it is undefined: one sitting, one problem, or equal totals.

    Raises
    ------
    ValueError
        When the rows are not of one length.

    References
    ----------
    Kuder and Richardson, Psychometrika 2, 151 (1937); Cronbach, Psychometrika 16, 297 (1951).
    """
    columns = list(zip(*scores, strict=True))
    problems = len(columns)
    if len(scores) < 2 or problems < 2:  # noqa: PLR2004 - a variance and a sum need two
        return None
    total = float(pvariance([sum(row) for row in scores]))
    if total == 0:
        return None
    within = math.fsum(float(pvariance(column)) for column in columns)
    return problems / (problems - 1) * (1 - within / total)
