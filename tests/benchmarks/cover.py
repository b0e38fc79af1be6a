"""The smallest short set of a line, against trying every set of slots; a line of thirty slots and 53 people."""

from itertools import combinations

from competencies.standing.depth import depths_of
from competencies.standing.staffing import needs_of, smallest_short, staff_needs
from tests.benchmarks.figure import Figure, medians_ms

NAME = "cover"
SLOTS, SHARED = 30, 6


def figures():
    """Return what it costs to find a short set of six slots, and to staff a line, as multiples of trying every set."""
    needs = line(SLOTS, pairs=())
    paired = line(SLOTS, pairs=[(0, 1), (4, 5), (10, 11)])
    enumerated, found, with_pairs, staffed, deep = medians_ms(
        lambda: every_set(needs),
        lambda: smallest_short(needs),
        lambda: smallest_short(paired),
        lambda: staff_needs(needs),
        lambda: depths_of(needs, [[slot] for slot in range(SLOTS)]),
        rounds=3,
    )
    baseline = f"every set of up to {SHARED} of {SLOTS}"
    return [
        _figure("smallest short set", found, baseline, enumerated, goal=0.05),
        _figure("the same with pairs", with_pairs, baseline, enumerated, goal=0.2),
        _figure(f"a line of {SLOTS} slots", staffed, baseline, enumerated, goal=0.05),
        _figure("its depths", deep, baseline, enumerated, goal=0.5),
    ]


def _figure(name, measured, baseline_name, baseline, *, goal):
    return Figure(name=name, unit="ms", measured=measured, baseline_name=baseline_name, baseline=baseline, goal=goal)


def line(slots, *, pairs):
    """Return a line on which the last six slots share five people, each other one has three of 48."""
    own = slots - SHARED
    shared = [2 * own + person for person in range(SHARED - 1)]
    return needs_of(
        [[place, own + place, (place + 1) % own] for place in range(own)] + [shared] * SHARED, combinable=pairs
    )


def every_set(needs):
    """Return the smallest set with fewer people than slots, by trying all sets in order of their size."""
    for size in range(1, len(needs.able) + 1):
        for group in combinations(range(len(needs.able)), size):
            if len(set().union(*(needs.able[slot] for slot in group))) < size:
                return group
    return ()
