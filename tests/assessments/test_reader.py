"""The answer reader: what people type, and what nobody should."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assessments.quantities import Basis
from assessments.reader import (
    MAX_LENGTH,
    UnreadableError,
    read_choice,
    read_date,
    read_digit,
    read_quantity,
    read_week_date,
    read_whole,
)

THIN, NARROW, FIRM = "\u2009", "\u202f", "\u00a0"

NUMBERS = [
    ("12.5", "12.5"),
    ("12,5", "12.5"),
    (".5", "0.5"),
    (",5", "0.5"),
    ("5.", "5"),
    ("-3", "-3"),
    ("−3,5", "-3.5"),
    ("+2", "2"),
    ("1 234", "1234"),
    (f"1{THIN}234,5", "1234.5"),
    (f"12{NARROW}500", "12500"),
    (f"1{FIRM}234{FIRM}567", "1234567"),
    ("1'234.5", "1234.5"),
    ("1’234’567", "1234567"),
    ("1,234.5", "1234.5"),
    ("1.234,5", "1234.5"),
    ("1,234,567", "1234567"),
    ("1.234.567", "1234567"),
    ("0,125", "0.125"),
    ("1,2e6", "1.2e6"),
    ("1.2E6", "1.2e6"),
    ("1.2e-3", "0.0012"),
    ("1.2 x 10^6", "1.2e6"),
    ("1.2x10^6", "1.2e6"),
    ("1.2 × 10^6", "1.2e6"),
    ("1,2·10⁶", "1.2e6"),
    ("1.2*10^-3", "0.0012"),
    ("3 X 10^5", "3e5"),
    ("10^6", "1e6"),
    ("10⁶", "1e6"),
    ("1/4", "0.25"),
    ("½", "0.5"),
    ("2½", "2.5"),
    ("2 1/2", "2.5"),
    ("= 71.4", "71.4"),
    ("≈71.4", "71.4"),
    ("\uff10.\uff15", "0.5"),
    ("٣", "3"),
    ("\u0661\u0662\u066b\u0665", "12.5"),
    ("\u0661\u066c\u0662\u0663\u0664", "1234"),
    ("१२.५", "12.5"),
    ("\u200f71.4\u200e", "71.4"),
    ("\ufeff7\u200b1.4", "71.4"),
]


@pytest.mark.parametrize(("text", "value"), NUMBERS, ids=[text for text, _ in NUMBERS])
def test_number_is_read(text, value):
    typed = read_quantity(text)

    assert typed.number.value == Decimal(value)
    assert typed.unit is None
    assert typed.other is None


UNITS = [
    ("12,5 °P", "12.5", "plato", None),
    ("12.5 P", "12.5", "plato", None),
    ("2.6 vol", "2.6", "co2_volume", None),
    ("5,52g/l", "5.52", "gram / (litre)", None),
    ("71.4 deg C", "71.4", "celsius", None),
    ("71.4℃", "71.4", "celsius", None),
    ("22 500 units/h", "22500", "item / (hour)", None),
    ("22 500 1/h", "22500", "item / (hour)", None),
    ("22500/h", "22500", "item / (hour)", None),
    ("375 bottles per minute", "375", "item / (minute)", None),
    ("1.84 bar abs", "1.84", "bar", Basis.ABSOLUTE),
    ("12 psig", "12", "psi", Basis.GAUGE),
    ("1.2 bar(g)", "1.2", "bar", Basis.GAUGE),
    ("4.99 % vol", "4.99", "percent", Basis.BY_VOLUME),
    ("4,99%ABV", "4.99", "percent", Basis.BY_VOLUME),
    ("2 % w/v", "2", "percent", Basis.WEIGHT_PER_VOLUME),
    ("1e5kg", "1e5", "kilogram", None),
    ("1.2·10⁶ cells", "1.2e6", "item", None),
    ("30 m³", "30", "metre ** 3", None),
    ("0.8 mm.", "0.8", "millimetre", None),
]


@pytest.mark.parametrize(("text", "value", "expression", "basis"), UNITS, ids=[row[0] for row in UNITS])
def test_unit_is_read(text, value, expression, basis):
    typed = read_quantity(text)

    assert typed.number.value == Decimal(value)
    assert typed.unit.expression == expression
    assert typed.unit.basis == basis


@pytest.mark.parametrize(
    ("text", "is_comma"), [("1,234", True), ("1.234", False), ("12,500 kg", True), ("-1,234", True)]
)
def test_one_mark_before_three_digits_has_two_readings(text, is_comma):
    typed = read_quantity(text)

    assert typed.other.value == typed.number.value * 1000
    assert typed.is_comma is is_comma


@pytest.mark.parametrize("text", ["0,125", "1234,567", "1,2345", "1,23", "12 345,678"])
def test_other_marks_have_one_reading(text):
    assert read_quantity(text).other is None


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "Type your answer"),
        ("   ", "Type your answer"),
        ("abc", "starts with no number"),
        ("nan", "starts with no number"),
        ("inf", "starts with no number"),
        ("-∞", "starts with no number"),
        ("三", "starts with no number"),
        ("1 20", "parted in an odd way"),
        ("1,23,456", "parted in an odd way"),
        ("1.234.56", "parted in an odd way"),
        ("1,234.567.8", "parted in an odd way"),
        ("10^400", "beyond anything"),
        ("1e400", "beyond anything"),
        ("1e-400", "beyond anything"),
        ("1e999999", "beyond anything"),
        ("3 x 10^-99999999999999999999", "beyond anything"),
        ("10^99999", "beyond anything"),
        ("99999999999999999", "beyond anything"),
        ("1/0", "cannot have 0"),
        ("9**9**9", "not a unit"),
        ("5 furlongs", "not a unit"),
        ("5 __import__('os')", "not a unit"),
        ("12 gal", "two sizes"),
        ("3 bbl", "two sizes"),
        ("1" * 41, "longer than 40"),
    ],
)
def test_unreadable_answer_gets_a_message(text, message):
    with pytest.raises(UnreadableError, match=message):
        read_quantity(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2026-02-28", date(2026, 2, 28)),
        ("2026/2/28", date(2026, 2, 28)),
        ("20260228", date(2026, 2, 28)),
        ("28.02.2026", date(2026, 2, 28)),
        ("28/2/2026", date(2026, 2, 28)),
        ("28-02-2026", date(2026, 2, 28)),
        ("28 02 2026", date(2026, 2, 28)),
        ("28. 2. 2026", date(2026, 2, 28)),
        ("28.2.26", date(2026, 2, 28)),
        ("28 Feb 2026", date(2026, 2, 28)),
        ("28th of February 2026", date(2026, 2, 28)),
        ("February 28, 2026", date(2026, 2, 28)),
        ("1 sept 2026", date(2026, 9, 1)),
        ("3/4/2026", date(2026, 4, 3)),
    ],
)
def test_date_is_read(text, expected):
    assert read_date(text) == expected


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("31.02.2026", "no such day"),
        ("2026-13-01", "no such day"),
        ("0000-01-01", "no such day"),
        ("Feb 2026", "year-month-day"),
        ("tomorrow", "year-month-day"),
        ("28 Brumaire 2026", "year-month-day"),
        ("26-02-28", "year-month-day"),
        ("", "Type your answer"),
    ],
)
def test_unreadable_date_gets_a_message(text, message):
    with pytest.raises(UnreadableError, match=message):
        read_date(text)


@pytest.mark.parametrize("text", ["2026-W09-6", "2026-w9-6", "2026 W09 6", "2026W096", "  2026 w 9 6 "])
def test_week_date_is_read(text):
    assert read_week_date(text) == "2026-W09-6"


@pytest.mark.parametrize("text", ["2026-09-6", "26-W09-6", "W09", "2026-W09", "2026W96", "2026-W123-1", "week 9"])
def test_unreadable_week_date_gets_a_message(text):
    with pytest.raises(UnreadableError, match="like 2026-W09-6"):
        read_week_date(text)


def test_whole_number_takes_only_whole_numbers():
    assert read_whole("31 848 units").number.value == 31848
    assert read_whole("31,848").number.value == 31848
    assert read_whole("31848.0").number.value == 31848
    with pytest.raises(UnreadableError, match="whole number"):
        read_whole("31.5")


def test_whole_number_with_two_meanings_keeps_both():
    typed = read_whole("31,000")

    assert {typed.number.value, typed.other.value} == {31, 31000}


def test_digit_takes_one_digit_or_the_slip_of_ten():
    assert read_digit(" 7 ") == "7"
    assert read_digit("10") == "10"
    with pytest.raises(UnreadableError, match="0 to 9"):
        read_digit("seven")


def test_choice_is_read_whatever_its_case():
    assert read_choice("  Starch   LEFT ", ("converted", "starch left")) == "starch left"
    with pytest.raises(UnreadableError, match="Pick one"):
        read_choice("blue", ("converted",))


TYPED = st.one_of(
    st.text(max_size=MAX_LENGTH + 5),
    st.text("0123456789.,'  ·x*^eE+-−/½⁶°CPghLbar%()", max_size=MAX_LENGTH),
    st.from_regex(r"[0-9]{1,20}[.,' ]?[0-9]{0,20}(e[0-9]{1,4})? ?[a-zA-Z°%/]{0,6}", fullmatch=True),
)


@settings(max_examples=1500, deadline=None)
@given(TYPED)
def test_reader_never_fails_in_another_way(text):
    exact = (read_whole, read_date, read_week_date, read_digit)
    for read in (read_quantity, *exact, lambda typed: read_choice(typed, ("a", "b"))):
        try:
            read(text)
        except UnreadableError as unreadable:
            assert unreadable.message  # noqa: PT017 - any message will do


@settings(max_examples=300, deadline=None)
@given(st.decimals(-(10**9), 10**9, places=4, allow_nan=False, allow_infinity=False), st.sampled_from(".,"))
def test_a_plain_number_is_read_back(number, mark):
    typed = read_quantity(f"{number:f}".replace(".", mark))

    assert typed.number.value == number


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 10**12), st.sampled_from([" ", THIN, NARROW, FIRM, "'"]))
def test_a_grouped_number_is_read_back(number, mark):
    assert read_quantity(f"{number:,}".replace(",", mark)).number.value == number
