"""How many absences a station survives, and on whom it hangs (R9.6). Exact, by staffing anew. Pure.

A station survives an absence when, without those people, it is filled in every largest staffing of the line. It is not
enough that somebody could be moved there: whoever is moved leaves another slot.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from competencies.standing.placing import Needs, place

# Where pairs are declared, two absences at once are tried on a line of so many slots, else one.
SMALL_LINE = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Depth:
    """How many absences a station survives, whoever is missing.

    `is_least` says that no more were tried. `hangs_on` are the people without any one of whom it is not sure to be
    filled; a station that is short already survives nothing and hangs on nobody.
    """

    survives: int
    is_least: bool = False
    hangs_on: tuple[int, ...] = ()


def depths_of(needs: Needs, stations: Sequence[Collection[int]]) -> list[Depth]:
    """Return the depth of each station, given as the indexes of its slots."""
    now = _slots_at_risk(needs)
    people = dict.fromkeys(place(needs).values())
    alone = {person: _slots_at_risk(needs.without({person})) for person in people}
    most = _survived_by_pairs(needs, list(people)) if _has_pairs(needs) else None
    found = []
    for station in stations:
        slots = frozenset(station)
        hangs_on = tuple(person for person, risky in alone.items() if risky & slots)
        if now & slots:
            found.append(Depth(survives=0))
        elif hangs_on:
            found.append(Depth(survives=0, hangs_on=hangs_on))
        elif most is None:
            found.append(Depth(survives=_spare(needs, slots)))
        else:
            found.append(Depth(survives=1) if most.risky & slots else Depth(survives=most.tried, is_least=True))
    return found


def _has_pairs(needs: Needs) -> bool:
    return bool(needs.combinable) or len(set(needs.fixed.values())) < len(needs.fixed)


def _slots_at_risk(needs: Needs) -> frozenset[int]:
    """Return the slots that some largest staffing leaves empty."""
    every = frozenset(range(len(needs.able)))
    placed = place(needs)
    at_risk = every - placed.keys()
    if not at_risk:
        return frozenset()
    for slot in every - at_risk:
        other = place(needs, leave={slot})
        if slot not in at_risk and len(other) == len(placed):
            at_risk |= every - other.keys()
    return at_risk


def _spare(needs: Needs, station: Collection[int]) -> int:
    """Return how many more people could stand at the station while all else stays as well staffed.

    So many absences it survives: in a matching, each further slot like it adds one filled slot or none, and each
    absence takes at most one (the marginal gains of a transversal matroid do not grow).
    """
    needs = _settled_as_choices(needs)
    slot = next(iter(station))
    filled, spare = len(place(needs)), 0
    while True:
        needs = replace(needs, able=(*needs.able, needs.able[slot]))
        if len(place(needs)) != filled + spare + 1:
            return spare
        spare += 1


def _settled_as_choices(needs: Needs) -> Needs:
    """Return the same needs with each settled person as one who counts at that slot only."""
    used = set(needs.fixed.values())
    able = [tuple(person for person in found if person not in used) for found in needs.able]
    for slot, person in needs.fixed.items():
        able[slot] = (person, *able[slot])
    return Needs(able=tuple(able))


@dataclass(frozen=True, slots=True)
class _Tried:
    """How many absences at once were tried, and which slots are at risk under the last of them."""

    tried: int
    risky: frozenset[int]


def _survived_by_pairs(needs: Needs, people: Sequence[int]) -> _Tried:
    """Try two absences at once. Only sets with somebody who is placed matter: the idle change nothing."""
    if len(needs.able) > SMALL_LINE:
        return _Tried(1, frozenset())
    missing = {
        frozenset({person, other})
        for person in people
        for other in place(needs.without({person})).values()
        if other != person
    }
    return _Tried(2, frozenset().union(*(_slots_at_risk(needs.without(away)) for away in missing)))
