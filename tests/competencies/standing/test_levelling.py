"""Renewals spread over weeks: worked by hand, and held against trying every plan."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from competencies.standing.levelling import Renewal, busiest, level

EVA, FIN = 1, 2


def renewal(key, *places, minutes=60, end=0):
    return Renewal(key=key, minutes=minutes, places=frozenset(places), end=end)


def weeks(assessor, *numbers):
    return [(assessor, number) for number in numbers]


def test_four_in_one_window_are_spread_over_its_weeks():
    renewals = [renewal(key, *weeks(EVA, 0, 1, 2, 3, 4)) for key in range(4)]
    free = dict.fromkeys(weeks(EVA, 0, 1, 2, 3, 4), 600)

    found = level(renewals, free)

    # Four hours over five weeks: one hour a week at the most, and the last week of the window stays free.
    assert found.busiest_minutes == 60
    assert sorted(week for _assessor, week in found.placed.values()) == [0, 1, 2, 3]
    assert found.is_exact
    assert found.unplaced == ()


def test_what_does_not_fit_is_named_and_the_most_is_proved():
    # Two hours in one week for three renewals of an hour each: one is left, the last to end.
    renewals = [renewal(key, (EVA, 0), end=key) for key in (7, 8, 9)]

    found = level(renewals, {(EVA, 0): 120})

    assert found.unplaced == (9,)
    assert found.most == 2
    assert found.is_exact


def test_a_renewal_that_nobody_may_assess_is_left_and_the_others_are_not():
    found = level([renewal(1), renewal(2, (EVA, 0))], {(EVA, 0): 60})

    assert found.unplaced == (1,)
    assert found.placed == {2: (EVA, 0)}


def test_the_scarce_assessor_is_kept_for_what_only_they_may_assess():
    renewals = [renewal(1, (EVA, 0), (FIN, 0)), renewal(2, (EVA, 0))]

    found = level(renewals, {(EVA, 0): 60, (FIN, 0): 60})

    assert found.placed == {1: (FIN, 0), 2: (EVA, 0)}


def test_of_one_kind_the_first_to_end_goes_first():
    renewals = [renewal(1, *weeks(EVA, 0, 1), end=20), renewal(2, *weeks(EVA, 0, 1), end=10)]

    found = level(renewals, {(EVA, 0): 60, (EVA, 1): 60})

    assert found.placed == {2: (EVA, 0), 1: (EVA, 1)}


@pytest.mark.parametrize("free", [{}, {(EVA, 0): 0}, {(EVA, 0): 59}, {(EVA, 0): -10}])
def test_without_time_nothing_is_placed(free):
    assert level([renewal(1, (EVA, 0))], free).unplaced == (1,)


def test_nothing_to_place_is_no_trouble():
    found = level([], {})

    assert (found.placed, found.unplaced, found.busiest_minutes, found.is_exact) == ({}, (), 0, True)


PLACES = st.frozensets(st.sampled_from(list(product((EVA, FIN), range(3)))), max_size=4)


@given(
    wanted=st.lists(st.tuples(PLACES, st.sampled_from([30, 60, 90])), max_size=4),
    free=st.dictionaries(st.sampled_from(list(product((EVA, FIN), range(3)))), st.sampled_from([0, 60, 90, 150])),
)
def test_no_plan_places_more_and_none_as_many_with_a_lower_peak(wanted, free):
    """Hold the programme against every plan there is, for a few renewals."""
    renewals = [renewal(key, *places, minutes=minutes) for key, (places, minutes) in enumerate(wanted)]

    found = level(renewals, free)

    best = min(rated(renewals, plan) for plan in every_plan(renewals, free))
    assert (-len(found.placed), found.busiest_minutes) == best
    assert fits(renewals, found.placed, free)
    assert found.most == len(found.placed)


def every_plan(renewals, free):
    for chosen in product(*[[None, *sorted(each.places)] for each in renewals]):
        plan = {each.key: place for each, place in zip(renewals, chosen, strict=True) if place is not None}
        if fits(renewals, plan, free):
            yield plan


def fits(renewals, plan, free):
    used = {}
    for each in renewals:
        if each.key in plan:
            if plan[each.key] not in each.places:
                return False
            used[plan[each.key]] = used.get(plan[each.key], 0) + each.minutes
    return all(minutes <= free.get(place, 0) for place, minutes in used.items())


def rated(renewals, plan):
    return -len(plan), busiest(renewals, plan)
