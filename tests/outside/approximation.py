"""A formula that approximates, held against a better one over the range for which its error is stated."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from assessments.calculations import calculation

#: Points along the range of a single given, and along each of several.
_POINTS, _POINTS_EACH = 81, 9


@dataclass(frozen=True, kw_only=True)
class Approximation:
    """A calculation beside a better formula for the same.

    `ranges` holds for each given the lowest and the highest value; `bound` is the error that we state, in the unit
    of the answer, or as a share of it with `is_share`.
    """

    code: str
    better_name: str
    better: Callable[..., float]
    ranges: tuple[tuple[float, float], ...]
    bound: float
    is_share: bool = False

    @property
    def name(self):
        """Return what the calculation is called."""
        return calculation(self.code).title

    @property
    def unit(self):
        """Return the unit of the error."""
        return "%" if self.is_share else calculation(self.code).answer.unit

    @property
    def stated(self):
        """Return the bound in that unit."""
        return 100 * self.bound if self.is_share else self.bound

    @cached_property
    def worst(self):
        """Return the largest error over the range, with its sign, and the givens at which it is met."""
        points = _POINTS if len(self.ranges) == 1 else _POINTS_EACH
        grid = product(*(_spread(*ends, points) for ends in self.ranges))
        errors = {point: self._error(point) for point in grid}
        point = max(errors, key=lambda each: abs(errors[each]))
        return errors[point], point

    @property
    def holds(self):
        """Return whether the error stays within what we state."""
        return abs(self.worst[0]) <= self.stated

    def _error(self, point):
        ours, better = calculation(self.code).work(*point), self.better(*point)
        return 100 * (ours - better) / better if self.is_share else ours - better


def _spread(low, high, points):
    return [low] if low == high else [low + (high - low) * step / (points - 1) for step in range(points)]
