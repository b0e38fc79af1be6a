"""Who stands where: held against trying everything, and against scipy's own matching where no pairs are declared."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from competencies.standing.depth import depths_of
from competencies.standing.placing import Needs
from competencies.standing.staffing import needs_of, staff, staff_needs

ANA, CHEN, IVO, NOOR = range(4)
PK05, PK06, QC04, LC06 = range(4)
SHORT_OF_CHEN = [[ANA, CHEN, NOOR], [CHEN], [CHEN], [IVO, NOOR]]


@st.composite
def lines(draw):
    """Draw a small line: who counts where, which slots are settled, which pairs may be held together."""
    size = draw(st.integers(1, 5))
    able = [draw(st.lists(st.integers(0, 5), unique=True, max_size=4)) for _ in range(size)]
    pairs = draw(st.lists(st.sampled_from(list(combinations(range(size), 2)) or [(0, 0)]), unique=True, max_size=4))
    settled = draw(st.dictionaries(st.integers(0, size - 1), st.integers(0, 5), max_size=2))
    return needs_of(able, combinable=pairs, fixed=settled)


def everything_staffable(needs: Needs, away=frozenset()) -> set[frozenset[int]]:
    """Return every set of slots that can be filled at once, by trying all that each person may do."""
    fixed = {slot: person for slot, person in needs.fixed.items() if person not in away}
    used = set(fixed.values())
    able = [set(found) - away - used for found in needs.able]
    states = {frozenset(fixed)}
    for person in set().union(*able):
        options = [(slot,) for slot, found in enumerate(able) if person in found and slot not in fixed]
        options += [
            pair for pair in needs.combinable if not fixed.keys() & set(pair) and all(person in able[s] for s in pair)
        ]
        states |= {state | set(option) for state in states for option in options if not state & set(option)}
    return states


@settings(max_examples=150, deadline=None)
@given(lines())
def test_staffing_fills_as_many_slots_as_trying_everything_finds(needs):
    found = staff_needs(needs)

    assert len(found.placed) == max(map(len, everything_staffable(needs)))
    assert found.placed.keys().isdisjoint(found.unfilled)


@settings(max_examples=150, deadline=None)
@given(lines())
def test_nobody_stands_where_they_may_not(needs):
    found = staff_needs(needs)

    held = {}
    for slot, person in found.placed.items():
        assert person == needs.fixed.get(slot) or person in needs.able[slot]
        held.setdefault(person, []).append(slot)
    for person, slots in held.items():
        if person in needs.fixed.values():
            assert set(slots) == {slot for slot, other in needs.fixed.items() if other == person}
        else:
            assert len(slots) == 1 or (min(slots), max(slots)) in needs.combinable


@settings(max_examples=150, deadline=None)
@given(lines())
def test_the_short_set_is_the_smallest_that_cannot_be_staffed(needs):
    staffable = everything_staffable(needs)
    slots = range(len(needs.able))

    def is_short(group):
        return frozenset(group) | needs.fixed.keys() not in staffable

    smallest = next(
        (size for size in range(1, len(slots) + 1) if any(is_short(group) for group in combinations(slots, size))), 0
    )

    short = staff_needs(needs).short

    assert len(short) == smallest
    assert not short or is_short(short)


@settings(max_examples=60, deadline=None)
@given(lines())
def test_depth_counts_the_absences_that_trying_everything_survives(needs):
    people = sorted(needs.people)

    def is_at_risk(away, slot):
        states = everything_staffable(needs, frozenset(away))
        most = max(map(len, states))
        return any(len(state) == most and slot not in state for state in states)

    for slot, depth in enumerate(depths_of(needs, [[slot] for slot in range(len(needs.able))])):
        breaking = next(
            (
                size
                for size in range(len(people) + 1)
                if any(is_at_risk(away, slot) for away in combinations(people, size))
            ),
            len(people) + 1,
        )
        exact = max(breaking - 1, 0)
        assert (exact >= depth.survives) if depth.is_least else (exact == depth.survives)
        assert set(depth.hangs_on) == (
            {person for person in people if is_at_risk([person], slot)} if breaking == 1 else set()
        )


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(st.integers(0, 11), unique=True, max_size=5), min_size=1, max_size=12))
def test_without_pairs_it_is_the_largest_matching_of_an_independent_library(able):
    rows = [row for row, found in enumerate(able) for _ in found]
    graph = csr_array(([1] * len(rows), (rows, [person for found in able for person in found])), shape=(len(able), 12))
    theirs = maximum_bipartite_matching(graph, perm_type="column")

    assert len(staff(able).placed) == sum(column >= 0 for column in theirs)


def test_four_slots_and_four_people_are_one_short_though_each_shows_a_name():
    found = staff(SHORT_OF_CHEN)

    assert not found.is_covered
    assert found.short == (PK06, QC04)


def test_a_declared_pair_lets_one_person_hold_both():
    found = staff(SHORT_OF_CHEN, combinable=[(QC04, PK06)])

    assert found.is_covered
    assert found.short == ()
    assert (found.placed[PK06], found.placed[QC04]) == (CHEN, CHEN)


def test_a_used_up_supervisor_holds_no_pair():
    found = staff(SHORT_OF_CHEN, combinable=[(PK06, QC04)], fixed={PK06: CHEN})

    assert found.unfilled == (QC04,)


def test_nobody_holds_two_slots_where_one_each_would_do():
    found = staff([[CHEN, NOOR], [CHEN, NOOR]], combinable=[(0, 1)])

    assert set(found.placed.values()) == {CHEN, NOOR}


def test_relief_is_somebody_who_counts_there_and_stands_nowhere():
    found = staff([[ANA, NOOR], [IVO]])

    assert found.relief == ((NOOR,), ())
    assert found.unrelieved == (1,)


def test_of_several_staffings_one_with_relief_is_found_where_it_is_wanted():
    found = staff([[NOOR, ANA], [NOOR, IVO]], relief_wanted=True)

    assert (found.placed, found.relief) == ({0: ANA, 1: IVO}, ((NOOR,), (NOOR,)))


def test_nobody_is_kept_free_where_no_relief_is_asked_for():
    needs = needs_of([[NOOR, ANA], [NOOR, IVO]])

    assert staff_needs(needs).placed == {0: NOOR, 1: IVO}
    assert staff_needs(needs, relief_wanted=True).placed == {0: ANA, 1: IVO}


SIX_FOR_FIVE, FIVE_FOR_FOUR = [list(range(5))] * 6, [list(range(10, 14))] * 5


@pytest.mark.parametrize(
    ("able", "short"),
    [
        ([[CHEN], [CHEN], [IVO], [IVO]], (0, 1)),
        ([[CHEN], [IVO], [CHEN], [IVO]], (0, 2)),
        ([[CHEN], [IVO], [IVO], [CHEN]], (0, 3)),
        ([[ANA], [], [NOOR], []], (1,)),
        ([[CHEN], [CHEN], []], (2,)),
        ([[CHEN], [CHEN], [ANA], [NOOR, IVO], [NOOR, IVO], [NOOR, IVO]], (0, 1)),
        # Five high indexes are fewer than six low ones.
        ([*SIX_FOR_FIVE, *FIVE_FOR_FOUR], (6, 7, 8, 9, 10)),
        ([*FIVE_FOR_FOUR, *SIX_FOR_FIVE], (0, 1, 2, 3, 4)),
    ],
    ids=[
        "two pairs",
        "in turn",
        "one in the other",
        "nobody at two",
        "nobody at one",
        "two before three",
        "high",
        "low",
    ],
)
def test_the_short_set_is_the_smallest_and_of_several_the_one_of_low_indexes(able, short):
    assert staff(able).short == short


@pytest.mark.parametrize("able", [[], [[]], [[], [ANA]]], ids=["no slots", "nobody", "nobody at one"])
def test_a_line_without_people_or_slots_is_no_fault(able):
    found = staff(able)

    assert found.is_covered == (able == [])
    assert found.short == ((0,) if able else ())


def test_depth_is_not_the_number_of_names():
    names_two_hangs_on_both = needs_of([[ANA, CHEN], [CHEN]])

    first, second = depths_of(names_two_hangs_on_both, [[0], [1]])

    assert (first.survives, first.hangs_on) == (0, (ANA,))
    assert (second.survives, set(second.hangs_on)) == (0, {ANA, CHEN})


def test_a_station_with_spare_people_survives_as_many_absences():
    needs = needs_of([[ANA, CHEN, IVO, NOOR]])

    [depth] = depths_of(needs, [[0]])

    assert (depth.survives, depth.is_least, depth.hangs_on) == (3, False, ())


def test_a_station_of_two_slots_is_as_deep_as_its_spare_people():
    able = [ANA, CHEN, IVO, NOOR]
    needs = needs_of([able, able, [NOOR]])

    two, one = depths_of(needs, [[0, 1], [2]])

    # Noor is needed at the other station: of the three that are left, two must stand here.
    assert (two.survives, two.hangs_on) == (1, ())
    assert (one.survives, one.hangs_on) == (0, (NOOR,))


@pytest.mark.parametrize(("size", "survives"), [(12, 2), (13, 1)])
def test_with_pairs_two_absences_are_tried_on_a_line_of_twelve_slots_and_one_on_a_longer_one(size, survives):
    needs = needs_of([[slot, slot + 20, slot + 40, slot + 60] for slot in range(size)], combinable=[(0, 1)])

    depths = depths_of(needs, [[0], [size - 1]])

    assert [(each.survives, each.is_least, each.hangs_on) for each in depths] == [(survives, True, ())] * 2


def test_a_line_of_thirty_slots_is_answered_at_once():
    """Ten slots that only nine people share, among thirty: trying every set would take longer than a shift."""
    shared = [list(range(9)) for _ in range(10)]
    others = [[20 + place, 40 + place] for place in range(20)]

    assert staff(others + shared).short == tuple(range(20, 30))
