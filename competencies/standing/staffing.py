"""Cover is an assignment: one person, one slot (R9.2, R9.3). Exact, by matching. Pure."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

NOBODY = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Staffing:
    """Who stands where, and what is missing.

    `placed` maps a slot's index to a person; `unfilled` are the indexes left empty in that assignment; `short` is
    the smallest set of slots that too few people share (empty when everything is covered).
    """

    placed: Mapping[int, int]
    unfilled: tuple[int, ...]
    short: tuple[int, ...]

    @property
    def is_covered(self) -> bool:
        """Whether every slot has somebody of its own."""
        return not self.unfilled


def staff(able: Sequence[Collection[int]], *, fixed: Mapping[int, int] | None = None) -> Staffing:
    """Place people at slots so that as many slots as possible are filled.

    Parameters
    ----------
    able
        For each slot, the people who count there.
    fixed
        Slots whose person is settled already (a supervising person with a trainee); used up for all others.

    Returns
    -------
    Staffing
        A largest assignment, and the smallest set of slots that cannot all be filled.

    """
    settled = dict(fixed or {})
    used = set(settled.values())
    open_slots = [slot for slot in range(len(able)) if slot not in settled]
    choices = {slot: frozenset(able[slot]) - used for slot in open_slots}
    people = sorted({person for found in choices.values() for person in found})
    matched = _matched(open_slots, choices, people)
    placed = {**settled, **{slot: person for slot, person in matched.items() if person is not None}}
    unfilled = tuple(slot for slot in open_slots if matched[slot] is None)
    return Staffing(placed=placed, unfilled=unfilled, short=_shortest(open_slots, choices) if unfilled else ())


def _matched(
    slots: Sequence[int], choices: Mapping[int, frozenset[int]], people: Sequence[int]
) -> dict[int, int | None]:
    if not people:
        return dict.fromkeys(slots)
    column = {person: index for index, person in enumerate(people)}
    pairs = [(row, column[person]) for row, slot in enumerate(slots) for person in sorted(choices[slot])]
    rows, columns = [row for row, _ in pairs], [col for _, col in pairs]
    graph = csr_array(([1] * len(pairs), (rows, columns)), shape=(len(slots), len(people)))
    found = maximum_bipartite_matching(graph, perm_type="column")
    return {slot: None if found[row] == NOBODY else people[found[row]] for row, slot in enumerate(slots)}


def _shortest(slots: Iterable[int], choices: Mapping[int, frozenset[int]]) -> tuple[int, ...]:
    """Return the smallest set of slots shared by fewer people than it has slots (Hall's condition, 1935)."""
    slots = list(slots)
    for size in range(1, len(slots) + 1):
        for group in combinations(slots, size):
            if len(frozenset().union(*(choices[slot] for slot in group))) < size:
                return group
    return ()
