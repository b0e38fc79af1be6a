"""What one more person brings a line, worked by hand, and held against trying everything."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.standing.gains import Gain, Way, best_ways, gain_of
from competencies.standing.staffing import needs_of

ANA, CHEN, IVO = 1, 2, 3


def test_somebody_for_the_empty_station_fills_it_and_helps_when_another_is_missing():
    # Filler and seamer, both only Chen: one of the two stands empty. Ana at the seamer fills it.
    needs = needs_of([[CHEN], [CHEN]])

    gain = gain_of(needs, ANA, [1])

    # With everybody there 1 becomes 2; with Chen missing 0 becomes 1.
    assert gain == Gain(filled=1, spared=1, worth=2.0)


def test_a_covered_line_gains_only_what_it_can_bear():
    # Chen and Ivo have a station each. Ana at Chen's helps only when Chen is missing: 1 of 2 absences.
    needs = needs_of([[CHEN], [IVO]])

    assert gain_of(needs, ANA, [0]) == Gain(filled=0, spared=1, worth=0.5)


def test_who_can_stand_there_already_brings_nothing_more():
    assert gain_of(needs_of([[ANA], [CHEN]]), ANA, [0]).worth == 0


def test_a_placed_person_at_a_second_station_brings_nothing_while_all_are_there_and_something_else_would():
    # Ana stands at the filler, nobody at the seamer: if she learns it, still one of the two is empty.
    needs = needs_of([[ANA], []])

    assert gain_of(needs, ANA, [1]).filled == 0
    assert gain_of(needs, CHEN, [1]).filled == 1


def test_the_best_is_most_an_hour_and_what_brings_nothing_is_left_out():
    small, large = Gain(filled=0, spared=1, worth=0.5), Gain(filled=1, spared=1, worth=2.0)
    quick = Way(person=ANA, task="PK-04", gain=small, minutes=15)
    long = Way(person=CHEN, task="PK-05", gain=large, minutes=240)
    idle = Way(person=IVO, task="PK-06", gain=Gain(filled=0, spared=0, worth=0.0), minutes=15)

    assert [way.person for way in best_ways([long, idle, quick])] == [ANA, CHEN]
    # Half a station in a quarter of an hour; two stations in four hours.
    assert [way.worth_an_hour for way in best_ways([long, quick])] == [2.0, 0.5]


def most_filled(able) -> int:
    """Return how many slots can be filled, by trying everybody or nobody at each."""
    return max(
        sum(person is not None for person in placed)
        for placed in product(*[[None, *found] for found in able])
        if len({person for person in placed if person}) == sum(person is not None for person in placed)
    )


@settings(max_examples=100, deadline=None)
@given(st.lists(st.lists(st.integers(1, 4), unique=True, max_size=3), min_size=1, max_size=4), st.integers(1, 5))
def test_the_gain_is_what_trying_everything_finds(able, person):
    gain = gain_of(needs_of(able), person, [0])

    more = [list(dict.fromkeys([*able[0], person])), *able[1:]]
    others = {each for found in able for each in found} - {person}
    missing = [
        most_filled([[p for p in found if p != other] for found in more])
        - most_filled([[p for p in found if p != other] for found in able])
        for other in others
    ]
    assert gain.filled == most_filled(more) - most_filled(able)
    assert gain.worth == pytest.approx(gain.filled + (sum(missing) / len(missing) if missing else 0))
