"""Spreads renewals over weeks so that none lapses and no assessor has more than their time (R3.1). Pure.

Renewals that may be put at the same places and take as long are one kind, and only how many of a kind go where is
asked: an integer programme (HiGHS, through scipy) of some hundred numbers in place of thousands.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, gcd
from typing import Any, TypeAlias

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

# An assessor and the number of a week.
Place: TypeAlias = "tuple[int, int]"
Row: TypeAlias = "tuple[Mapping[int, float], float, float]"
TIME_LIMIT_S = 2.0
# The solver's number for: there is no plan.
IMPOSSIBLE = 2
ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """One renewal: the assessor's minutes that it takes, and the places where it may be put.

    `end` orders those that may go to the same places: the lowest is put first.
    """

    key: int
    minutes: int
    places: frozenset[Place]
    end: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Levelled:
    """Where each renewal goes.

    `unplaced` have no place left. `most` is the largest number that could be placed, and `least_minutes` the least
    that the busiest week could have, as far as is proved. `is_exact` says that the plan reaches both.
    """

    placed: Mapping[int, Place]
    unplaced: tuple[int, ...]
    most: int
    busiest_minutes: int
    least_minutes: int

    @property
    def is_exact(self) -> bool:
        """Whether no plan places more, and none that places as many has a lower busiest week."""
        return len(self.placed) == self.most and self.busiest_minutes <= self.least_minutes


@dataclass(frozen=True, slots=True)
class _Kinds:
    """The variables: how many of each kind go to each of its places."""

    kinds: Sequence[Sequence[Renewal]]
    columns: Sequence[tuple[int, Place]]

    def minutes(self, column: int) -> int:
        kind, _place = self.columns[column]
        return self.kinds[kind][0].minutes


def level(
    renewals: Sequence[Renewal], minutes_free: Mapping[Place, int], *, time_limit_s: float = TIME_LIMIT_S
) -> Levelled:
    """Put as many renewals as can be, and of those plans choose one whose busiest week is lowest.

    Parameters
    ----------
    renewals
        What is to be put somewhere, keys unique.
    minutes_free
        An assessor's minutes in a week; a place that is not named has none.
    time_limit_s
        Seconds for each question put to the solver, of which there are some five; after them the best plan so far
        is returned.

    Returns
    -------
    Levelled
        The plan, and what is proved of it.

    """
    kinds = _kinds_of(renewals)
    limits = _limits(kinds, minutes_free)
    best: Mapping[int, Place] = _simply(renewals, minutes_free)
    most = sum(bool(each.places) for each in renewals)
    if len(best) < most:
        found = _solve(-np.ones(len(kinds.columns)), limits, time_limit_s)
        if found.mip_dual_bound is not None:
            most = min(most, floor(-found.mip_dual_bound + ROUNDING))
        if found.x is not None and round(sum(found.x)) > len(best):
            best = _handed_out(kinds, found.x)
    best, least = _lowered(renewals, kinds, limits, best, time_limit_s)
    return Levelled(
        placed=best,
        unplaced=tuple(each.key for each in renewals if each.key not in best),
        most=most,
        busiest_minutes=busiest(renewals, best),
        least_minutes=least,
    )


def _simply(renewals: Sequence[Renewal], minutes_free: Mapping[Place, int]) -> dict[int, Place]:
    """Put the next to end where the week has least and there is time: a plan to begin with, and often the best."""
    left, load, placed = dict(minutes_free), Counter[int](), {}
    for each in sorted(renewals, key=lambda each: (each.end, each.key)):
        open_places = [place for place in each.places if left.get(place, 0) >= each.minutes]
        if open_places:
            place = min(open_places, key=lambda place: (load[place[1]], -left[place], place[1], place[0]))
            left[place] -= each.minutes
            load[place[1]] += each.minutes
            placed[each.key] = place
    return placed


def _lowered(
    renewals: Sequence[Renewal],
    kinds: _Kinds,
    limits: Sequence[Row],
    best: Mapping[int, Place],
    time_limit_s: float,
) -> tuple[Mapping[int, Place], int]:
    """Return a plan that places as many with a lower busiest week, and the least that it could have.

    The least is what fractions of renewals would reach; between it and the plan at hand the middle is tried.
    """
    if not best:
        return best, 0
    step = gcd(*(each.minutes for each in renewals)) or 1
    costs, rows = _peak(kinds, limits, len(best))
    relaxed = _solve(costs, rows, time_limit_s, whole=False)
    least = ceil(relaxed.x[-1] / step - ROUNDING) * step if relaxed.x is not None else 0
    low = least
    while (high := busiest(renewals, best)) > low:
        middle = low + (high - step - low) // (2 * step) * step
        found = _solve(np.zeros(len(costs)), [*rows, ({len(costs) - 1: 1.0}, 0, middle)], time_limit_s)
        if found.x is not None:
            best = _handed_out(kinds, found.x[:-1])
            continue
        # Below what was tried in vain nothing is tried again; only where it is impossible that is proved.
        low = middle + step
        if found.status == IMPOSSIBLE:
            least = low
    return best, least


def busiest(renewals: Sequence[Renewal], placed: Mapping[int, Place]) -> int:
    """Return the minutes of the week that has most of them."""
    weeks: Counter[int] = Counter()
    for each in renewals:
        if each.key in placed:
            weeks[placed[each.key][1]] += each.minutes
    return max(weeks.values(), default=0)


def _kinds_of(renewals: Sequence[Renewal]) -> _Kinds:
    alike: dict[tuple[int, frozenset[Place]], list[Renewal]] = defaultdict(list)
    for each in renewals:
        if each.places:
            alike[each.minutes, each.places].append(each)
    kinds = [sorted(found, key=lambda each: (each.end, each.key)) for found in alike.values()]
    columns = [(number, place) for number, kind in enumerate(kinds) for place in sorted(kind[0].places)]
    return _Kinds(kinds, columns)


def _limits(kinds: _Kinds, minutes_free: Mapping[Place, int]) -> list[Row]:
    """Return: of a kind no more than there are, and at a place no more minutes than there are."""
    of_kind: dict[int, dict[int, float]] = defaultdict(dict)
    at_place: dict[Place, dict[int, float]] = defaultdict(dict)
    for column, (kind, place) in enumerate(kinds.columns):
        of_kind[kind][column] = 1
        at_place[place][column] = kinds.minutes(column)
    rows: list[Row] = [(row, 0, len(kinds.kinds[kind])) for kind, row in of_kind.items()]
    rows += [(row, 0, max(0, minutes_free.get(place, 0))) for place, row in at_place.items()]
    return rows


def _peak(kinds: _Kinds, limits: Sequence[Row], placed: int) -> tuple[Any, list[Row]]:
    """Return costs and rows of the question for the lowest peak; its last variable is the busiest week's minutes."""
    count = len(kinds.columns)
    weeks: dict[int, dict[int, float]] = defaultdict(lambda: {count: -1})
    for column, (_kind, (_assessor, week)) in enumerate(kinds.columns):
        weeks[week][column] = kinds.minutes(column)
    rows: list[Row] = [*limits, *((row, -np.inf, 0) for row in weeks.values())]
    rows.append((dict.fromkeys(range(count), 1.0), placed, np.inf))
    return np.array([0.0] * count + [1.0]), rows


def _solve(
    costs: Any,  # noqa: ANN401 - an array of numbers
    rows: Sequence[Row],
    time_limit_s: float,
    *,
    whole: bool = True,
) -> Any:  # noqa: ANN401 - scipy's result
    """Return the solver's answer: numbers of 0 and more, whole ones or not, at the least cost within the rows."""
    places = [number for number, (row, _low, _high) in enumerate(rows) for _ in row]
    columns = [column for row, _low, _high in rows for column in row]
    values = [value for row, _low, _high in rows for value in row.values()]
    matrix = coo_array((values, (places, columns)), shape=(len(rows), len(costs))).tocsr()
    return milp(
        costs,
        integrality=np.full(len(costs), int(whole)),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(matrix, [low for _row, low, _high in rows], [high for _row, _low, high in rows]),
        options={"mip_rel_gap": 0, "time_limit": time_limit_s},
    )


def _handed_out(kinds: _Kinds, numbers: Sequence[float]) -> dict[int, Place]:
    """Return the place of each renewal: within a kind the one that ends first gets the earliest week."""
    open_places: dict[int, list[Place]] = defaultdict(list)
    for (kind, place), number in zip(kinds.columns, numbers, strict=True):
        open_places[kind] += [place] * round(number)
    return {
        renewal.key: place
        for kind, found in open_places.items()
        for renewal, place in zip(kinds.kinds[kind], sorted(found, key=lambda each: (each[1], each[0])), strict=False)
    }
