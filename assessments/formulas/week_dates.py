"""Week dates and day codes, there and back."""

import re
from datetime import date, timedelta

from assessments.formulas.date_codes import day_number

_WEEK_DATE = re.compile(r"(?P<year>[0-9]{4})-W(?P<week>[0-9]{2})-(?P<day>[1-7])")
_DAY_CODE = re.compile(r"(?P<year>[0-9]{2})(?P<day>[0-9]{3})")
#: Days before the Thursday that decides to which year a week belongs.
_TO_THURSDAY = 4


def week_date(packed_on: date) -> str:
    r"""Return the week date of a day: week year, week, and day of the week from Monday as 1.

    .. math:: w = \left\lceil \frac{n_{Thu}}{7} \right\rceil, \quad n_{Thu} = \text{day number of the week's Thursday}

    Parameters
    ----------
    packed_on : date
        Day of packing [date]

    Returns
    -------
    str
        Week date, such as 2025-W01-1 [word]

    Raises
    ------
    ValueError
        Before week 01 of 1583, when the calendar was young.

    Notes
    -----
    Valid from 3 January 1583 on. A week belongs to the year of its Thursday, so week 01 holds the first Thursday.

    Examples
    --------
    >>> week_date(date(1985, 4, 12))
    '1985-W15-5'

    References
    ----------
    [ISO-8601] week date.
    """
    weekday = packed_on.isoweekday()
    thursday = packed_on + timedelta(days=_TO_THURSDAY - weekday)
    if thursday.year < 1583:
        raise ValueError("The calendar is used from 1583 on.")
    return f"{thursday.year}-W{(day_number(thursday) + 6) // 7:02}-{weekday}"


def date_of_week(code: str) -> date:
    r"""Return the day that a week date means.

    .. math:: \text{Monday of week 1} + 7 (w - 1) + (d - 1)

    Parameters
    ----------
    code : str
        Week date, such as 2025-W01-1 [word]

    Returns
    -------
    date
        Day [date]

    Raises
    ------
    ValueError
        When it is no week date, or that year has no such week.

    Notes
    -----
    Valid for the years 1583 to 9998. 4 January always lies in week 1.

    Examples
    --------
    >>> date_of_week("2025-W01-1")
    datetime.date(2024, 12, 30)

    References
    ----------
    [ISO-8601] week date.
    """
    found = _WEEK_DATE.fullmatch(code)
    if found is None or not 1583 <= int(found["year"]) <= 9998:
        raise ValueError("Write the week date like 2025-W01-1.")
    fourth = date(int(found["year"]), 1, 4)
    monday = fourth - timedelta(days=fourth.isoweekday() - 1)
    day = monday + timedelta(days=7 * (int(found["week"]) - 1) + int(found["day"]) - 1)
    if week_date(day) != code:
        raise ValueError("That year has no such week.")
    return day


def day_code(packed_on: date) -> str:
    r"""Return the day code of a pack: two digits of the year, three of the day number.

    .. math:: \text{year} \bmod 100, \; n

    Parameters
    ----------
    packed_on : date
        Day of packing [date]

    Returns
    -------
    str
        Day code, such as 24366 [digits]

    Raises
    ------
    ValueError
        Before the year 1583, when the calendar was young.

    Notes
    -----
    Valid within one century; 1 January is day 001.

    Examples
    --------
    >>> day_code(date(2024, 12, 31))
    '24366'

    References
    ----------
    [ISO-8601] ordinal date, the century and the hyphen left out.
    """
    return f"{packed_on.year % 100:02}{day_number(packed_on):03}"


def date_of_day_code(code_digits: str) -> date:
    r"""Return the day that a day code of this century means.

    .. math:: \text{1 January} + (n - 1)

    Parameters
    ----------
    code_digits : str
        Day code, such as 24366 [digits]

    Returns
    -------
    date
        Day [date]

    Raises
    ------
    ValueError
        When it is no day code, or that year has no such day.

    Notes
    -----
    Valid for the years 2000 to 2099.

    Examples
    --------
    >>> date_of_day_code("24366")
    datetime.date(2024, 12, 31)

    References
    ----------
    [ISO-8601] ordinal date, the century and the hyphen left out.
    """
    found = _DAY_CODE.fullmatch(code_digits)
    if found is None:
        raise ValueError("A day code has five digits, such as 24366.")
    first = date(2000 + int(found["year"]), 1, 1)
    day = first + timedelta(days=int(found["day"]) - 1)
    if day.year != first.year:
        raise ValueError("That year has no such day.")
    return day
