"""Dates on packs."""

import calendar
from datetime import date, timedelta

from assessments.vocabulary import gettext_noop as _

DAY_AND_MONTH, MONTH_AND_YEAR, YEAR = _("day and month"), _("month and year"), _("year")
WHOLE_DATE = _("day, month and year")
#: Up to so many months day and month will do, up to so many month and year [months].
SHORT_LIFE, MIDDLE_LIFE = 3, 18


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


def best_before_after(packed_on: date, shelf_life_days: int) -> date:
    r"""Return the best-before date of a shelf life in days.

    .. math:: \text{packed} + n \text{ days}

    Parameters
    ----------
    packed_on : date
        Day of packing [date]
    shelf_life_days : int
        Shelf life, n [days]

    Returns
    -------
    date
        Best before [date]

    Raises
    ------
    ValueError
        Outside 1 to 3660 days.

    Notes
    -----
    Valid for 1 to 3660 days, counted from the day after packing.

    Examples
    --------
    >>> best_before_after(date(2025, 3, 14), 270)
    datetime.date(2025, 12, 9)

    References
    ----------
    [PRACTICE] the day of packing is not counted.
    """
    if not 1 <= shelf_life_days <= 3660:
        raise ValueError("The shelf life must lie between 1 and 3660 days.")
    return packed_on + timedelta(days=int(shelf_life_days))


def form_of_best_before(shelf_life_months: float) -> str:
    r"""Return the shortest form that the best-before date may have.

    .. math:: \text{by } n \le 3, \; n \le 18, \; n > 18

    Parameters
    ----------
    shelf_life_months : float
        How long the drink keeps, n [months]

    Returns
    -------
    str
        `DAY_AND_MONTH`, `MONTH_AND_YEAR` or `YEAR` [word]

    Raises
    ------
    ValueError
        When the shelf life is not above 0.

    Notes
    -----
    Valid in the European Union. Day, month and year together are always allowed.

    Examples
    --------
    >>> form_of_best_before(6.0)
    'month and year'

    References
    ----------
    [REG-1169] Annex X 1(c).
    """
    if shelf_life_months <= 0:
        raise ValueError("The shelf life must be above 0 months.")
    if shelf_life_months <= SHORT_LIFE:
        return DAY_AND_MONTH
    return MONTH_AND_YEAR if shelf_life_months <= MIDDLE_LIFE else YEAR
