"""Puts people at slots: one person, one slot, or the two slots of a declared pair (R9.2). Exact. Pure.

Without pairs it is a bipartite matching, grown by augmenting paths (Berge 1957). Where a pair lets one person hold two
slots it is no matching any more, and an integer programme decides (HiGHS, through scipy).
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a line asks of the people there.

    `able` names for each slot who counts there, most wanted first. `combinable` are pairs of slots, lower index first,
    that one person may hold together. `fixed` are slots whose person is settled (with a trainee, R9.3): that person
    is used up, also for pairs.
    """

    able: tuple[tuple[int, ...], ...]
    combinable: frozenset[tuple[int, int]] = frozenset()
    fixed: Mapping[int, int] = field(default_factory=dict)

    def without(self, people: Collection[int]) -> "Needs":
        """Return the same line with these people missing; a slot that one of them held with a trainee is open."""
        return replace(
            self,
            able=tuple(tuple(person for person in found if person not in people) for found in self.able),
            fixed={slot: person for slot, person in self.fixed.items() if person not in people},
        )

    def open_choices(self) -> dict[int, tuple[int, ...]]:
        """Return who may be put at each slot that is not settled."""
        used = set(self.fixed.values())
        return {
            slot: tuple(person for person in found if person not in used)
            for slot, found in enumerate(self.able)
            if slot not in self.fixed
        }

    @property
    def people(self) -> tuple[int, ...]:
        """Return everybody who counts somewhere or is settled, in the order named."""
        named = [person for found in self.able for person in found]
        return tuple(dict.fromkeys([*self.fixed.values(), *named]))


Placement = Mapping[int, int]
# A person at a slot or at the two of a pair.
Option = tuple[int, tuple[int, ...]]
# The weights of a row of variables, and the most that they may come to.
Limit = tuple[Mapping[int, float], float]


def place(needs: Needs, *, first: Collection[int] = (), leave: Collection[int] = ()) -> Placement:
    """Return who stands where, with as many slots filled as can be.

    Parameters
    ----------
    needs
        The line.
    first
        Slots of which as many as can be are filled before any other is looked at.
    leave
        Slots that are left out altogether.

    Returns
    -------
    Placement
        Person by slot; a slot that stays empty is not in it. Nobody holds two slots where one each would do.

    """
    choices = {slot: found for slot, found in needs.open_choices().items() if slot not in leave}
    settled = {slot: person for slot, person in needs.fixed.items() if slot not in leave}
    order = sorted(choices, key=lambda slot: (slot not in first, slot))
    matched = _matched(order, choices)
    usable = [pair for pair in sorted(needs.combinable) if _is_usable(pair, choices)]
    if len(matched) == len(order) or not usable:
        return settled | matched
    return settled | _solved(choices, usable, first)


def place_with_relief(needs: Needs) -> Placement:
    """Return a largest placement that leaves as many slots as can be with somebody free who counts there (R9.4)."""
    choices = needs.open_choices()
    usable = [pair for pair in sorted(needs.combinable) if _is_usable(pair, choices)]
    used = set(needs.fixed.values())
    wants = [tuple(person for person in found if person not in used) for found in needs.able]
    return dict(needs.fixed) | _solved(choices, usable, (), relief=wants)


def reliefs(needs: Needs, placed: Placement) -> tuple[tuple[int, ...], ...]:
    """Return for each slot who counts there and is placed nowhere: they can relieve at breaks (R9.4)."""
    busy = set(placed.values()) | set(needs.fixed.values())
    return tuple(tuple(person for person in found if person not in busy) for found in needs.able)


def _matched(order: Iterable[int], choices: Mapping[int, Sequence[int]]) -> dict[int, int]:
    """Return a largest matching; a slot that is filled stays filled while later ones are tried."""
    holds: dict[int, int] = {}
    for slot in order:
        _augment(slot, choices, holds, set())
    return {slot: person for person, slot in holds.items()}


def _augment(slot: int, choices: Mapping[int, Sequence[int]], holds: dict[int, int], seen: set[int]) -> bool:
    free = next((person for person in choices[slot] if person not in holds), None)
    if free is not None:
        holds[free] = slot
        return True
    for person in choices[slot]:
        if person not in seen:
            seen.add(person)
            if _augment(holds[person], choices, holds, seen):
                holds[person] = slot
                return True
    return False


def _is_usable(pair: tuple[int, int], choices: Mapping[int, Sequence[int]]) -> bool:
    one, other = pair
    return one in choices and other in choices and bool(set(choices[one]) & set(choices[other]))


def _solved(
    choices: Mapping[int, Sequence[int]],
    pairs: Sequence[tuple[int, int]],
    first: Collection[int],
    relief: Sequence[Sequence[int]] = (),
) -> dict[int, int]:
    """Return a largest placement by integer programme: each person takes one option, each slot one person.

    An option is a slot or a pair. Slots in `first` weigh more than all others together, a filled slot more than all
    reliefs, and a relief more than sparing somebody a second slot.
    """
    options: list[Option] = [(person, (slot,)) for slot, found in choices.items() for person in found]
    options += [(person, pair) for pair in pairs for person in choices[pair[0]] if person in set(choices[pair[1]])]
    if not options:
        return {}
    size = len(choices) + len(relief) + 1
    worth = [sum(size**3 if slot in first else size**2 for slot in slots) - (len(slots) - 1) for _, slots in options]
    limits = _one_each(options)
    limits += _relief_limits(options, relief)
    costs = -np.array([*worth, *[size] * len(relief)])
    found = solve_whole(costs, limits)
    taken = [option for number, option in enumerate(options) if found[number]]
    return {slot: person for person, slots in taken for slot in slots}


def _one_each(options: Sequence[Option]) -> list[Limit]:
    """Return: of one person at most one option, and at one slot at most one person."""
    by_person: dict[int, dict[int, float]] = {}
    by_slot: dict[int, dict[int, float]] = {}
    for place_in, (person, slots) in enumerate(options):
        by_person.setdefault(person, {})[place_in] = 1
        for slot in slots:
            by_slot.setdefault(slot, {})[place_in] = 1
    return [(row, 1) for row in (*by_person.values(), *by_slot.values())]


def _relief_limits(options: Sequence[Option], relief: Sequence[Sequence[int]]) -> list[Limit]:
    """Return: a slot is relieved only where one of its people takes no option."""
    by_person: dict[int, list[int]] = {}
    for place_in, (person, _slots) in enumerate(options):
        by_person.setdefault(person, []).append(place_in)
    limits: list[Limit] = []
    for number, found in enumerate(relief):
        row: dict[int, float] = {place_in: 1 for person in found for place_in in by_person.get(person, ())}
        row[len(options) + number] = 1
        limits.append((row, len(found)))
    return limits


def solve_whole(costs: Any, limits: Sequence[Limit]) -> list[int]:  # noqa: ANN401 - an array of numbers
    """Return the yes (1) or no (0) of each variable at the least total cost, with every row at most its limit."""
    rows = [number for number, (row, _most) in enumerate(limits) for _ in row]
    columns = [column for row, _most in limits for column in row]
    values = [value for row, _most in limits for value in row.values()]
    matrix = coo_array((values, (rows, columns)), shape=(len(limits), len(costs))).tocsr()
    most = np.array([limit for _row, limit in limits])
    result = milp(
        costs,
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, ub=most),
        options={"mip_rel_gap": 0},
    )
    if result.x is None:
        raise ArithmeticError(result.message)
    return [round(value) for value in result.x]
