"""Dates on packs."""

import calendar
from datetime import date, timedelta


def best_before(packed_on: date, shelf_life_months: int) -> date:
    r"""Return the best-before date: so many months on, clipped to the end of a shorter month.

    .. math:: \text{packed} + n \text{ months}

    Parameters
    ----------
    packed_on : date
        Day of packing [date]
    shelf_life_months : int
        Shelf life, n [months]

    Returns
    -------
    date
        Best before [date]

    Raises
    ------
    ValueError
        Outside 1 to 120 months.

    Notes
    -----
    Valid for 1 to 120 months. The law fixes the form of the date, not this arithmetic.

    Examples
    --------
    >>> best_before(date(2025, 8, 31), 6)
    datetime.date(2026, 2, 28)

    References
    ----------
    [REG-1169] the form of the date.
    [PRACTICE] clipping to the month's end.
    """
    if not 1 <= shelf_life_months <= 120:
        raise ValueError("The shelf life must lie between 1 and 120 months.")
    years, month = divmod(packed_on.month - 1 + int(shelf_life_months), 12)
    year = packed_on.year + years
    last_day = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(packed_on.day, last_day))


def day_number(packed_on: date) -> int:
    r"""Return the day of the year, 1 January counting as 1.

    .. math:: n = \text{days of the months gone} + \text{day}

    Parameters
    ----------
    packed_on : date
        Day of packing [date]

    Returns
    -------
    int
        Day of the year, 1 to 366 [1]

    Raises
    ------
    ValueError
        Before the year 1583, when the calendar was young.

    Notes
    -----
    Valid from 1583 on; 29 February counts in a leap year.

    Examples
    --------
    >>> day_number(date(1953, 8, 2))
    214

    References
    ----------
    [ISO-8601] ordinal date.
    """
    if packed_on.year < 1583:
        raise ValueError("The calendar is used from 1583 on.")
    return (packed_on - date(packed_on.year, 1, 1) + timedelta(days=1)).days
