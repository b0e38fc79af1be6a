"""Labels, codes and pallets against independent libraries."""

import math
from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum import ean

from assessments.formulas import check_digits, date_codes, placement


def test_label_angle_is_the_argument_of_a_complex_number():
    assert placement.label_angle_deg(43.1, 42.3, 80) == pytest.approx(math.degrees(math.atan2(0.8, 80)), abs=1e-9)


@settings(max_examples=200, deadline=None)
@given(st.dates(date(1990, 1, 1), date(2080, 12, 31)), st.integers(1, 120))
def test_best_before_is_that_of_dateutil(packed, months):
    assert date_codes.best_before(packed, months) == packed + relativedelta(months=months)


@settings(max_examples=200, deadline=None)
@given(st.dates(date(1583, 1, 1), date(2200, 12, 31)))
def test_day_number_is_that_of_the_calendar(packed):
    assert date_codes.day_number(packed) == packed.timetuple().tm_yday


@settings(max_examples=200, deadline=None)
@given(st.text("0123456789", min_size=7, max_size=13))
def test_check_digit_is_that_of_stdnum(digits):
    assert str(check_digits.check_digit(digits)) == ean.calc_check_digit(digits)
