"""Who is put where (R9.2, R9.4): small lines held against trying every placement, and the order of wishes by hand."""

from itertools import combinations
from random import Random
from warnings import catch_warnings, simplefilter

import pytest

from competencies.standing.placing import place, place_with_relief, reliefs, solve_whole
from competencies.standing.staffing import needs_of, staff

ANA, CHEN, IVO, NOOR, SAM = range(5)
WEIGHT_ROWS = [({0: 2, 1: 1, 2: 1}, 2)]


def line_of(number):
    """Return a small line that the number draws: up to four slots and five people, pairs, perhaps a settled slot."""
    draw = Random(number)
    size = draw.randint(1, 4)
    able = [draw.sample(range(5), draw.randint(0, 3)) for _ in range(size)]
    pairs = [pair for pair in combinations(range(size), 2) if draw.random() < 0.4]
    fixed = {slot: draw.randrange(5) for slot in range(size) if draw.random() < 0.1}
    return needs_of(able, combinable=pairs, fixed=fixed)


def every_placement(needs):
    """Return every way to put people at slots: each at none, at one, or at the two of a pair."""
    used = set(needs.fixed.values())
    able = {slot: set(found) - used for slot, found in enumerate(needs.able) if slot not in needs.fixed}
    found = [dict(needs.fixed)]
    for person in sorted(set().union(*able.values())):
        mine = [(slot,) for slot, people in able.items() if person in people]
        mine += [pair for pair in needs.combinable if all(person in able.get(slot, ()) for slot in pair)]
        more = [(placed, slots) for placed in found for slots in mine if not placed.keys() & set(slots)]
        found += [placed | dict.fromkeys(slots, person) for placed, slots in more]
    return found


def doubled(needs, placed):
    """Return how many people who are not settled hold two slots."""
    free = [person for slot, person in placed.items() if slot not in needs.fixed]
    return len(free) - len(set(free))


def relieved(needs, placed):
    """Return how many slots have somebody who counts there and is placed nowhere."""
    return sum(bool(set(found) - set(placed.values())) for found in needs.able)


@pytest.mark.parametrize("number", range(60))
def test_as_many_slots_are_filled_as_can_be_and_nobody_holds_two_in_vain(number):
    needs = line_of(number)
    everything = every_placement(needs)

    found = place(needs)

    assert dict(found) in everything
    assert (len(found), -doubled(needs, found)) == max((len(each), -doubled(needs, each)) for each in everything)


@pytest.mark.parametrize("number", range(60))
def test_of_the_slots_named_first_as_many_are_filled_as_can_be_before_any_other(number):
    needs = line_of(number)
    first = set(Random(number).sample(range(len(needs.able)), len(needs.able) // 2))
    everything = every_placement(needs)

    found = place(needs, first=first)

    assert dict(found) in everything
    assert (len(found.keys() & first), len(found)) == max((len(each.keys() & first), len(each)) for each in everything)


@pytest.mark.parametrize("number", range(60))
def test_of_the_largest_placements_one_with_the_most_reliefs_is_found(number):
    needs = line_of(number)
    everything = every_placement(needs)

    found = place_with_relief(needs)

    def worth(each):
        return len(each), relieved(needs, each), -doubled(needs, each)

    assert dict(found) in everything
    assert worth(found) == max(map(worth, everything))
    assert sum(map(bool, reliefs(needs, found))) == relieved(needs, found)


@pytest.mark.parametrize(
    ("able", "pairs", "expected"),
    [
        ([[NOOR, CHEN], [IVO, CHEN]], [], {0: NOOR, 1: IVO}),
        # Where everybody finds a place, a pair that could be held changes nothing.
        ([[NOOR, CHEN], [IVO, CHEN]], [(0, 1)], {0: NOOR, 1: IVO}),
        ([[CHEN, NOOR], [IVO, CHEN]], [(0, 1)], {0: CHEN, 1: IVO}),
        ([[NOOR, CHEN], [CHEN, IVO]], [(0, 1)], {0: NOOR, 1: CHEN}),
        ([[IVO, SAM, CHEN], [ANA, CHEN, NOOR]], [(0, 1)], {0: IVO, 1: ANA}),
        # Nor does a pair that nobody there could hold.
        ([[ANA, CHEN, IVO], [NOOR, SAM], []], [(0, 1)], {0: ANA, 1: NOOR}),
        ([[CHEN, ANA, IVO], [NOOR, SAM], []], [(0, 1)], {0: CHEN, 1: NOOR}),
        ([[ANA, IVO, CHEN], [SAM, NOOR], []], [(0, 1)], {0: ANA, 1: SAM}),
        ([[NOOR, CHEN], [IVO, ANA], []], [(0, 1)], {0: NOOR, 1: IVO}),
        ([[CHEN, NOOR], [ANA, IVO], []], [(0, 1)], {0: CHEN, 1: ANA}),
        ([[CHEN, NOOR], [IVO, ANA], []], [(0, 1)], {0: CHEN, 1: IVO}),
        ([[NOOR, CHEN], [ANA, IVO], []], [(0, 1)], {0: NOOR, 1: ANA}),
    ],
    ids=str,
)
def test_the_most_wanted_stand_where_there_is_a_choice(able, pairs, expected):
    assert place(needs_of(able, combinable=pairs)) == expected


def test_one_person_holds_the_two_slots_of_a_pair_where_nobody_else_is_there():
    both = needs_of([[CHEN], [CHEN]], combinable=[(0, 1)])

    assert place(both) == place_with_relief(both) == {0: CHEN, 1: CHEN}


def test_a_filled_slot_is_worth_more_than_any_number_of_reliefs():
    # Only Ana can fill the first slot; left out she would relieve all four.
    needs = needs_of([[ANA], [CHEN, ANA], [IVO, ANA], [NOOR, ANA]])

    assert place_with_relief(needs) == {0: ANA, 1: CHEN, 2: IVO, 3: NOOR}
    assert place_with_relief(needs_of([[ANA]])) == {0: ANA}


def test_a_relief_is_worth_more_than_sparing_somebody_a_second_slot():
    needs = needs_of([[ANA, CHEN], [ANA, CHEN]], combinable=[(0, 1)])

    assert len(set(place(needs).values())) == 2
    assert len(set(place_with_relief(needs).values())) == 1


@pytest.mark.parametrize(
    ("able", "fixed", "expected"),
    [
        ([[CHEN, NOOR], [IVO]], {0: CHEN}, ((NOOR,), ())),
        ([[CHEN], [IVO, CHEN]], {0: CHEN}, ((), ())),
        ([[CHEN], [IVO, CHEN, SAM]], {0: CHEN}, ((), (SAM,))),
    ],
    ids=["at the settled slot", "the settled person relieves nobody", "another"],
)
def test_who_is_settled_is_used_up_and_others_who_count_there_relieve(able, fixed, expected):
    assert staff(able, fixed=fixed, relief_wanted=True).relief == expected


# Ten people for twelve slots, and fifteen pairs: the search is not over with the first placement that it meets.
TWELVE_SLOTS = (
    *(
        (5, 2),
        (6,),
        (1, 9, 2, 7, 3, 4, 5),
        (3, 9, 5, 7, 6, 2, 4),
        (1, 8, 7, 3, 0, 9, 4),
        (3,),
        (1, 3),
        (4, 9, 8, 1, 7),
    ),
    *((0, 4), (3, 9, 0, 7), (4, 2, 5, 9, 7), (2, 4, 6, 1, 7, 3, 0, 9)),
)
FIFTEEN_PAIRS = (
    *((0, 1), (0, 6), (0, 10), (2, 5), (2, 7), (4, 9), (4, 10), (5, 7), (5, 8), (5, 10), (5, 11), (7, 8), (8, 9)),
    *((8, 11), (9, 10)),
)


def test_a_line_that_can_be_filled_is_filled_whatever_else_is_wished():
    needs = needs_of(TWELVE_SLOTS, combinable=FIFTEEN_PAIRS)

    with catch_warnings():
        simplefilter("error")  # an option that the solver does not know is only warned of
        found = place(needs), place_with_relief(needs)

    assert [len(each) for each in found] == [12, 12]


def test_whole_numbers_are_found_and_what_cannot_be_met_is_said():
    assert solve_whole([-3, -2, -2], WEIGHT_ROWS) == [0, 1, 1]
    assert solve_whole([-5, -2, -2], WEIGHT_ROWS) == [1, 0, 0]
    with pytest.raises(ArithmeticError, match="infeasible"):
        solve_whole([1], [({0: -1}, -2)])
