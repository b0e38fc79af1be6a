"""Cover is an assignment: who stands where, and the smallest set of slots that too few share (R9.2). Exact. Pure."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from competencies.standing.placing import Needs, place, place_with_relief, reliefs, solve_whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Staffing:
    """Who stands where, and what is missing.

    `placed` maps a slot's index to a person; `unfilled` are the indexes left empty in that assignment; `short` is
    the smallest set of slots that too few people share (empty when everything is covered); `relief` names for each
    slot who counts there and is placed nowhere.
    """

    placed: Mapping[int, int]
    unfilled: tuple[int, ...]
    short: tuple[int, ...]
    relief: tuple[tuple[int, ...], ...]

    @property
    def is_covered(self) -> bool:
        """Whether every slot is filled."""
        return not self.unfilled

    @property
    def unrelieved(self) -> tuple[int, ...]:
        """Return the slots for which nobody is free at breaks."""
        return tuple(slot for slot, found in enumerate(self.relief) if not found)


def staff(
    able: Sequence[Collection[int]],
    *,
    fixed: Mapping[int, int] | None = None,
    combinable: Collection[tuple[int, int]] = (),
    relief_wanted: bool = False,
) -> Staffing:
    """Place people at slots so that as many slots as possible are filled.

    Parameters
    ----------
    able
        For each slot, the people who count there, most wanted first.
    fixed
        Slots whose person is settled already (a supervising person with a trainee); used up for all others.
    combinable
        Pairs of slots that one person may hold together; nobody holds more than one pair.
    relief_wanted
        Whether, of several largest assignments, one is wanted that leaves a relief to as many slots as can be.

    Returns
    -------
    Staffing
        A largest assignment, and the smallest set of slots that cannot all be filled.

    """
    return staff_needs(needs_of(able, fixed=fixed, combinable=combinable), relief_wanted=relief_wanted)


def needs_of(
    able: Sequence[Collection[int]],
    *,
    fixed: Mapping[int, int] | None = None,
    combinable: Collection[tuple[int, int]] = (),
) -> Needs:
    """Return the needs of a line; a pair may name its slots in either order."""
    return Needs(
        able=tuple(tuple(dict.fromkeys(found)) for found in able),
        fixed=dict(fixed or {}),
        combinable=frozenset((min(pair), max(pair)) for pair in combinable if pair[0] != pair[1]),
    )


def staff_needs(needs: Needs, *, relief_wanted: bool = False) -> Staffing:
    """Return the staffing of a line."""
    placed = place(needs)
    free = reliefs(needs, placed)
    if relief_wanted and not all(free):
        placed = place_with_relief(needs)
        free = reliefs(needs, placed)
    unfilled = tuple(slot for slot in range(len(needs.able)) if slot not in placed)
    return Staffing(placed=placed, unfilled=unfilled, short=smallest_short(needs) if unfilled else (), relief=free)


def smallest_short(needs: Needs) -> tuple[int, ...]:
    """Return the smallest set of slots that the people there cannot staff; of several, one with low indexes.

    Without pairs that is Hall's condition (1935). Every set that cannot be staffed has a slot outside each set that
    can: so the smallest set that meets all those found so far is tried, and either it cannot be staffed, and is the
    answer, or it widens to a set that can, and is one more to meet (Reiter 1987, on minimal conflicts).
    """
    everything = frozenset(needs.open_choices())
    to_meet: list[frozenset[int]] = []
    wanted: frozenset[int] = frozenset()
    while True:
        staffed = place(needs, first=wanted).keys() & everything
        if not wanted <= staffed:
            return tuple(sorted(wanted))
        if staffed == everything:
            return ()
        to_meet.append(everything - staffed)
        wanted = _smallest_meeting(to_meet)


def _smallest_meeting(sets: Sequence[frozenset[int]]) -> frozenset[int]:
    """Return the smallest set with at least one member of each of `sets`; of several, one with low numbers."""
    members = sorted(frozenset().union(*sets))
    if all(len(each) == 1 for each in sets):
        return frozenset(members)
    column = {member: number for number, member in enumerate(members)}
    limits = [({column[member]: -1.0 for member in each}, -1.0) for each in sets]
    costs = np.array([len(members) ** 2 + number for number in range(len(members))])
    found = solve_whole(costs, limits)
    return frozenset(member for member in members if found[column[member]])
