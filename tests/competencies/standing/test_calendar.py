"""Months, midnights and shifts in the plant's zone.

Month arithmetic is checked against python-dateutil, an independent library; the clock changes against the rule of the
European Union (Directive 2000/84/EC: last Sunday of March and October, 01:00 UTC). Zones that change at midnight are
read from the IANA database through zoneinfo.
"""

from datetime import UTC, date, datetime, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from competencies.standing.calendar import Clock, add_months
from competencies.standing.cover import is_night
from competencies.standing.framework import Shift
from tests.competencies.standing.plant import SHIFTS, d

DAYS = st.dates(min_value=date(1990, 1, 1), max_value=date(2080, 12, 31))


@given(day=DAYS, months=st.integers(min_value=-240, max_value=240))
def test_add_months_agrees_with_dateutil(day, months):
    assert add_months(day, months) == day + relativedelta(months=months)


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2025-08-31", 6, "2026-02-28"),
        ("2025-12-31", 2, "2026-02-28"),
        ("2025-01-30", 1, "2025-02-28"),
        ("2025-11-30", 3, "2026-02-28"),
        ("2025-03-31", -1, "2025-02-28"),
    ],
)
def test_add_months_clips_to_the_end_of_the_month(day, months, expected):
    assert add_months(d(day), months) == d(expected)


@pytest.mark.parametrize(
    ("zone", "day", "expected"),
    [
        ("Europe/Dublin", "2025-01-15", datetime(2025, 1, 15, 0, tzinfo=UTC)),
        ("Europe/Dublin", "2025-07-15", datetime(2025, 7, 14, 23, tzinfo=UTC)),
        ("Pacific/Auckland", "2025-01-15", datetime(2025, 1, 14, 11, tzinfo=UTC)),
        # Chile goes forward at midnight: the day begins at 01:00 on the wall.
        ("America/Santiago", "2024-09-08", datetime(2024, 9, 8, 4, tzinfo=UTC)),
        # Cuba goes back at 01:00 to 00:00: midnight comes twice, the day begins with the first.
        ("America/Havana", "2024-11-03", datetime(2024, 11, 3, 4, tzinfo=UTC)),
    ],
)
def test_midnight_is_the_first_moment_of_the_local_day(zone, day, expected):
    clock = Clock(zone)

    assert clock.midnight(d(day)) == expected
    assert clock.day(expected) == d(day)
    assert clock.day(expected - timedelta(microseconds=1)) == d(day) - timedelta(days=1)


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (0, datetime(2025, 7, 14, 23, tzinfo=UTC)),
        (6 * 60 + 30, datetime(2025, 7, 15, 5, 30, tzinfo=UTC)),
        (24 * 60, datetime(2025, 7, 15, 23, tzinfo=UTC)),
        (30 * 60 + 15, datetime(2025, 7, 16, 5, 15, tzinfo=UTC)),
    ],
    ids=["midnight", "half past six", "twenty-four hours", "on the next day"],
)
def test_moment_is_what_the_wall_shows(minutes, expected):
    assert Clock("Europe/Dublin").moment(d("2025-07-15"), minutes) == expected


def test_moments_are_in_utc_wherever_the_server_stands():
    clock = Clock("Pacific/Auckland")

    assert clock.midnight(d("2025-01-15")).tzinfo is UTC
    assert clock.moment(d("2025-01-15"), 60).tzinfo is UTC


@given(day=DAYS, zone=st.sampled_from(["Europe/Dublin", "America/Santiago", "America/Havana", "Asia/Kolkata", "UTC"]))
def test_every_midnight_opens_its_own_day(day, zone):
    clock = Clock(zone)
    midnight = clock.midnight(day)

    assert clock.day(midnight) == day
    assert clock.day(midnight - timedelta(microseconds=1)) == day - timedelta(days=1)


@pytest.mark.parametrize(
    ("name", "day", "hours"),
    [("night", "2025-03-29", 7), ("night", "2025-10-25", 9), ("night", "2025-06-01", 8), ("day", "2025-03-30", 8)],
    ids=["clocks forward", "clocks back", "no change", "day after the change"],
)
def test_shift_length_over_a_clock_change(name, day, hours):
    start, end = Clock("Europe/Dublin").shift_bounds(SHIFTS[name], d(day))

    assert end - start == timedelta(hours=hours)


def test_a_shift_that_ends_when_it_starts_lasts_a_day():
    start, end = Clock("Europe/Dublin").shift_bounds(Shift(name="guard", starts=360, ends=360), d("2025-06-01"))

    assert end - start == timedelta(hours=24)


@pytest.mark.parametrize(
    ("starts", "ends", "night"), [(22, 6, True), (6, 14, False), (16, 0, False), (14, 22, False), (0, 8, False)]
)
def test_a_night_touches_two_dates(starts, ends, night):
    assert is_night(Shift(name="any", starts=starts * 60, ends=ends * 60)) is night
