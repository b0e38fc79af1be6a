"""Spreads renewals over weeks so that none lapses and no assessor has more than their time (R3.1). Pure.

Renewals that may be put at the same places and take as long are one kind, and only how many of a kind go where is
asked: an integer programme (HiGHS, through scipy) of some hundred numbers in place of thousands.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any, TypeAlias

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

# An assessor and the number of a week.
Place: TypeAlias = "tuple[int, int]"
Row: TypeAlias = "tuple[Mapping[int, float], float, float]"
TIME_LIMIT_S = 5.0
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

    `unplaced` have no place left; `most` is the largest number that could be placed as far as is proved. `is_exact`
    says that no plan places more, and none that places as many has a lower busiest week.
    """

    placed: Mapping[int, Place]
    unplaced: tuple[int, ...]
    most: int
    busiest_minutes: int
    is_exact: bool


@dataclass(frozen=True, slots=True)
class _Kinds:
    """The variables: how many of each kind go to each of its places."""

    kinds: Sequence[Sequence[Renewal]]
    columns: Sequence[tuple[int, Place]]

    def minutes(self, column: int) -> int:
        kind, _place = self.columns[column]
        return self.kinds[kind][0].minutes

    def is_last_week(self, column: int) -> bool:
        kind, (_assessor, week) = self.columns[column]
        places = self.kinds[kind][0].places
        return week == max(each for _person, each in places) and len({each for _person, each in places}) > 1


def level(
    renewals: Sequence[Renewal], minutes_free: Mapping[Place, int], *, time_limit_s: float = TIME_LIMIT_S
) -> Levelled:
    """Put as many renewals as can be; of those plans one whose busiest week is lowest; then few in their last week.

    Parameters
    ----------
    renewals
        What is to be put somewhere, keys unique.
    minutes_free
        An assessor's minutes in a week; a place that is not named has none.
    time_limit_s
        Seconds for each of the two questions; the best plan so far is returned then.

    Returns
    -------
    Levelled
        The plan, and whether it is proved to be the best.

    """
    kinds = _kinds_of(renewals)
    if not kinds.columns:
        return Levelled(
            placed={}, unplaced=tuple(each.key for each in renewals), most=0, busiest_minutes=0, is_exact=True
        )
    limits = _limits(kinds, minutes_free)
    count = len(kinds.columns)
    first = _solve(-np.ones(count), limits, time_limit_s)
    placed = round(sum(first.x)) if first.x is not None else 0
    most = max(placed, floor(-first.mip_dual_bound + ROUNDING)) if first.mip_dual_bound is not None else len(renewals)
    second = _solve(*_lowest_peak(kinds, limits, placed), time_limit_s)
    best = second if second.x is not None else first
    numbers = [round(value) for value in best.x[:count]] if best.x is not None else [0] * count
    where = _handed_out(kinds, numbers)
    return Levelled(
        placed=where,
        unplaced=tuple(each.key for each in renewals if each.key not in where),
        most=most,
        busiest_minutes=busiest(renewals, where),
        is_exact=first.status == 0 and second.status == 0,
    )


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


def _lowest_peak(kinds: _Kinds, limits: Sequence[Row], placed: int) -> tuple[Any, list[Row]]:
    """Return costs and rows of the second question; its last variable is the minutes of the busiest week.

    A minute less in the busiest week weighs more than all renewals in their last week together.
    """
    count = len(kinds.columns)
    weeks: dict[int, dict[int, float]] = defaultdict(lambda: {count: -1})
    for column, (_kind, (_assessor, week)) in enumerate(kinds.columns):
        weeks[week][column] = kinds.minutes(column)
    rows: list[Row] = [*limits, *((row, -np.inf, 0) for row in weeks.values())]
    rows.append((dict.fromkeys(range(count), 1.0), placed, np.inf))
    costs = [float(kinds.is_last_week(column)) for column in range(count)]
    return np.array([*costs, placed + 1.0]), rows


def _solve(costs: Any, rows: Sequence[Row], time_limit_s: float) -> Any:  # noqa: ANN401 - arrays, scipy's result
    places = [number for number, (row, _low, _high) in enumerate(rows) for _ in row]
    columns = [column for row, _low, _high in rows for column in row]
    values = [value for row, _low, _high in rows for value in row.values()]
    matrix = coo_array((values, (places, columns)), shape=(len(rows), len(costs))).tocsr()
    return milp(
        costs,
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(matrix, [low for _row, low, _high in rows], [high for _row, _low, high in rows]),
        options={"mip_rel_gap": 0, "time_limit": time_limit_s},
    )


def _handed_out(kinds: _Kinds, numbers: Sequence[int]) -> dict[int, Place]:
    """Return the place of each renewal: within a kind the one that ends first gets the earliest week."""
    open_places: dict[int, list[Place]] = defaultdict(list)
    for (kind, place), number in zip(kinds.columns, numbers, strict=True):
        open_places[kind] += [place] * number
    return {
        renewal.key: place
        for kind, found in open_places.items()
        for renewal, place in zip(kinds.kinds[kind], sorted(found, key=lambda each: (each[1], each[0])), strict=False)
    }
