"""Labels, codes and pallets against independent libraries."""

import cmath
import math
from datetime import date, datetime
from itertools import pairwise

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pint
import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum import ean

from assessments.formulas import (
    alcohol_labels,
    check_digits,
    date_codes,
    energy,
    pallets,
    placement,
    print_size,
    week_dates,
)

LIBRARY = pint.UnitRegistry()
DAYS = st.dates(date(1583, 1, 3), date(2200, 12, 31))


# Complex numbers: an angle is the phase of across + up i


def test_label_angle_is_the_argument_of_a_complex_number():
    assert placement.label_angle_deg(43.1, 42.3, 80) == pytest.approx(math.degrees(math.atan2(0.8, 80)), abs=1e-9)


@pytest.mark.parametrize(("width", "limit"), [(60, 0.5), (90, 1.0), (120, 2.5), (90, 45)])
def test_allowed_rise_stands_at_the_limit(width, limit):
    rise = placement.allowed_rise_mm(width, limit)

    assert math.degrees(cmath.phase(complex(width, rise))) == pytest.approx(limit)


@pytest.mark.parametrize(("rise", "diameter"), [(0.8, 55), (2.0, 60), (5.0, 85)])
def test_angle_round_a_bottle_is_that_of_the_label_laid_flat(rise, diameter):
    # The surface as a thousand short chords.
    turns = [math.pi * step / 1000 for step in range(1001)]
    points = [cmath.rect(diameter / 2, turn) for turn in turns]
    half_way_round = sum(abs(one - other) for one, other in pairwise(points))

    angle = placement.angle_round_bottle_deg(rise, diameter)
    assert angle == pytest.approx(math.degrees(cmath.phase(complex(half_way_round, rise))), rel=1e-5)


# python-dateutil, the calendar of Python, python-stdnum


@settings(max_examples=200, deadline=None)
@given(st.dates(date(1990, 1, 1), date(2080, 12, 31)), st.integers(1, 120))
def test_best_before_is_that_of_dateutil(packed, months):
    assert date_codes.best_before(packed, months) == packed + relativedelta(months=months)


@settings(max_examples=200, deadline=None)
@given(st.dates(date(1990, 1, 1), date(2080, 12, 31)), st.integers(1, 3660))
def test_best_before_in_days_is_that_of_dateutil(packed, days):
    assert date_codes.best_before_after(packed, days) == packed + relativedelta(days=days)


@settings(max_examples=200, deadline=None)
@given(DAYS)
def test_day_number_is_that_of_the_calendar(packed):
    assert date_codes.day_number(packed) == packed.timetuple().tm_yday


@settings(max_examples=400, deadline=None)
@given(DAYS)
def test_week_date_is_that_of_the_calendar_there_and_back(packed):
    year, week, weekday = packed.isocalendar()

    code = week_dates.week_date(packed)
    assert code == f"{year}-W{week:02}-{weekday}"
    assert week_dates.date_of_week(code) == date.fromisocalendar(year, week, weekday)


@settings(max_examples=200, deadline=None)
@given(st.integers(1583, 2200), st.integers(1, 53), st.integers(1, 7))
def test_week_that_the_year_has_not_is_refused(year, week, weekday):
    code = f"{year}-W{week:02}-{weekday}"
    try:
        expected = date.fromisocalendar(year, week, weekday)
    except ValueError:
        with pytest.raises(ValueError, match="no such week"):
            week_dates.date_of_week(code)
    else:
        assert week_dates.date_of_week(code) == expected


@settings(max_examples=200, deadline=None)
@given(st.dates(date(2000, 1, 1), date(2068, 12, 31)))
def test_day_code_is_read_as_python_reads_it(packed):
    # Beyond 2068 Python takes two digits for the century before.
    code = week_dates.day_code(packed)

    assert datetime.strptime(code, "%y%j").date() == packed  # noqa: DTZ007 - a day has no time zone
    assert week_dates.date_of_day_code(code) == packed


@settings(max_examples=200, deadline=None)
@given(st.text("0123456789", min_size=7, max_size=17))
def test_check_digit_is_that_of_stdnum(digits):
    assert str(check_digits.check_digit(digits)) == ean.calc_check_digit(digits)


# CoolProp: the density of ethanol at 20 degC


def ethanol_g_per_ml():
    return coolprop.PropsSI("D", "T", 293.15, "P", 101325, "Ethanol") / 1000


@pytest.mark.parametrize(("volume", "strength"), [(330, 5.0), (375, 4.8), (568, 4.0), (750, 12.0)])
def test_standard_drinks_are_within_a_thousandth_of_the_real_density(volume, strength):
    grams = volume * strength / 100 * ethanol_g_per_ml()

    assert alcohol_labels.standard_drinks(volume, strength, 10) == pytest.approx(grams / 10, rel=0.001)


def test_uk_unit_weighs_about_8_g_and_us_drink_about_14_g():
    us_drink_ml = LIBRARY.Quantity(0.6, "fluid_ounce").to("millilitre").magnitude

    assert ethanol_g_per_ml() * 10 == pytest.approx(8, abs=0.15)
    assert ethanol_g_per_ml() * us_drink_ml == pytest.approx(14, abs=0.05)
    assert alcohol_labels.us_drinks(12, 5) == pytest.approx(1)


@pytest.mark.parametrize("strength", [0.5, 5.0, 8.0, 12.0])
@pytest.mark.parametrize("carbohydrate", [0.5, 3.2, 10.0])
def test_kilocalories_by_law_are_within_1_6_percent_of_the_kilojoules(strength, carbohydrate):
    from_kj = energy.energy_kj_per_100ml(strength, carbohydrate, 0.4) / 4.184

    assert energy.energy_kcal_per_100ml(strength, carbohydrate, 0.4) == pytest.approx(from_kj, rel=0.0162)


# pint: the point of layout programs


@pytest.mark.parametrize("size", [5, 8, 11])
def test_x_height_is_that_of_the_point_of_pint(size):
    height = 0.448 * LIBRARY.Quantity(size, "point").to("millimetre").magnitude

    assert print_size.x_height_mm(size, 0.448) == pytest.approx(height, rel=1e-4)


# Laying the cases one by one


@settings(max_examples=200, deadline=None)
@given(st.integers(1, 3000), st.integers(1, 24), st.integers(1, 14), st.integers(1, 9))
def test_layers_on_the_last_pallet_are_those_of_laying_case_by_case(units, case, layer, layers):
    cases = sum(1 for first in range(0, units, case) if first < units)
    on_pallet = layers_begun = 0
    for _ in range(cases):
        if on_pallet == layer * layers:
            on_pallet = layers_begun = 0
        layers_begun += on_pallet % layer == 0
        on_pallet += 1

    expected = 0 if on_pallet == layer * layers else layers_begun
    assert pallets.layers_on_last(units, case, layer, layers) == expected
