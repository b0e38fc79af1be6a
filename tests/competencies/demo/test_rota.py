"""Who works when at the demo plant."""

from datetime import date, timedelta
from random import Random

import pytest

from competencies.demo.rota import (
    CREWS,
    DAY,
    LATE,
    NIGHT,
    STARTS,
    last_clock_change,
    next_shift,
    shift_on,
    turn,
)
from competencies.standing.calendar import clock_of

DUBLIN = clock_of("Europe/Dublin")


@pytest.mark.parametrize("day", [date(2026, 11, 25) + timedelta(days=ahead) for ahead in range(8)])
def test_every_shift_has_one_crew_and_one_crew_is_off(day):
    shifts = [shift_on(crew, day) for crew in CREWS]

    assert sorted(shift or "" for shift in shifts) == ["", DAY, LATE, NIGHT]


@pytest.mark.parametrize(("day", "shift"), [(date(2026, 11, 27), DAY), (date(2026, 11, 28), None)])
def test_day_workers_have_the_weekend_off(day, shift):
    assert shift_on("", day) == shift


def test_the_next_wanted_shift_skips_nights_and_days_off():
    nights = [day for day in (date(2026, 11, 1) + timedelta(n) for n in range(8)) if shift_on("A", day) == NIGHT]

    on, shift = next_shift("A", nights[0], wanted=(DAY, LATE))

    assert (on - nights[0]).days == 4
    assert shift == DAY


def test_a_turn_lies_inside_its_shift_also_after_midnight():
    night = next(day for day in (date(2026, 11, 1) + timedelta(n) for n in range(8)) if shift_on("C", day) == NIGHT)

    for seed in range(40):
        found = turn(DUBLIN, "C", night, Random(seed), wanted=(NIGHT,))
        start = DUBLIN.moment(found.on, STARTS[NIGHT])
        assert timedelta(hours=1) <= found.moment - start < timedelta(hours=8)


@pytest.mark.parametrize(
    ("before", "changed_on"),
    [
        (date(2026, 11, 25), date(2026, 10, 25)),
        (date(2026, 10, 26), date(2026, 10, 25)),
        (date(2026, 10, 25), date(2025, 10, 26)),
        (date(2027, 3, 1), date(2026, 10, 25)),
    ],
)
def test_the_clocks_go_back_on_the_last_sunday_of_october(before, changed_on):
    """Source: Directive 2000/84/EC, article 3: summer time ends at 1.00 a.m. GMT on the last Sunday of October."""
    assert last_clock_change(DUBLIN, before) == changed_on
    assert changed_on.weekday() == 6
    assert (changed_on + timedelta(days=7)).month == 11
