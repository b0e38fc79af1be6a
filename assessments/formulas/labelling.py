"""Label placement, date code and check digit."""

import calendar
import math
from datetime import date, timedelta


def label_deviation_mm(left_mm: float, right_mm: float, specified_mm: float) -> float:
    r"""Return how far a label sits above its place, by the mean of both edges.

    .. math:: d = \frac{h_l + h_r}{2} - h_s

    Parameters
    ----------
    left_mm : float
        Height of the left edge, h_l [mm]
    right_mm : float
        Height of the right edge, h_r [mm]
    specified_mm : float
        Height on the drawing, h_s [mm]

    Returns
    -------
    float
        Deviation, above the place positive [mm]

    Raises
    ------
    ValueError
        When a height is negative.

    Notes
    -----
    Valid for heights from the base of an upright container, edges in level at rest.

    Examples
    --------
    >>> round(label_deviation_mm(43.1, 42.3, 42.0), 2)
    0.7

    References
    ----------
    [PLANT] measured less specified.
    """
    if min(left_mm, right_mm, specified_mm) < 0:
        raise ValueError("A height cannot be negative.")
    return (left_mm + right_mm) / 2 - specified_mm


def label_skew_mm(left_mm: float, right_mm: float) -> float:
    r"""Return how far the left edge of a label stands above the right.

    .. math:: s = h_l - h_r

    Parameters
    ----------
    left_mm : float
        Height of the left edge, h_l [mm]
    right_mm : float
        Height of the right edge, h_r [mm]

    Returns
    -------
    float
        Skew, left edge high positive [mm]

    Raises
    ------
    ValueError
        When a height is negative.

    Notes
    -----
    Valid for heights from the base of an upright container.

    Examples
    --------
    >>> round(label_skew_mm(43.1, 42.3), 2)
    0.8

    References
    ----------
    [PLANT] left less right.
    """
    if min(left_mm, right_mm) < 0:
        raise ValueError("A height cannot be negative.")
    return left_mm - right_mm


def label_angle_deg(left_mm: float, right_mm: float, width_mm: float) -> float:
    r"""Return the angle at which a label sits, from its two edges.

    .. math:: \beta = \arctan \frac{h_l - h_r}{b}

    Parameters
    ----------
    left_mm : float
        Height of the left edge, h_l [mm]
    right_mm : float
        Height of the right edge, h_r [mm]
    width_mm : float
        Width of the label along the surface, b [mm]

    Returns
    -------
    float
        Angle [deg]

    Raises
    ------
    ValueError
        When a height is negative or the width not above 0.

    Notes
    -----
    Valid for the label laid flat: the width runs along the surface, not across the bottle.

    Examples
    --------
    >>> round(label_angle_deg(47.0, 45.0, 94.2), 2)
    1.22

    References
    ----------
    [GEOMETRY] tangent.
    """
    if min(left_mm, right_mm) < 0 or width_mm <= 0:
        raise ValueError("A height cannot be negative, and the width must be above 0 mm.")
    return math.degrees(math.atan((left_mm - right_mm) / width_mm))


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


def weighted_sum(body_digits: str, first_weight: int = 3) -> int:
    r"""Return the weighted sum behind a GS1 check digit.

    .. math:: S = 3 d_n + 1 d_{n-1} + 3 d_{n-2} + \ldots

    Parameters
    ----------
    body_digits : str
        The digits before the check digit [digits]
    first_weight : int
        Weight of the digit next to the check digit, 3 by the standard, 1 when taken from the wrong end [1]

    Returns
    -------
    int
        Weighted sum, S [1]

    Raises
    ------
    ValueError
        When it is not 7 to 17 digits.

    Notes
    -----
    Valid for GTIN-8, -12, -13, -14 and SSCC: 7 to 17 digits.

    Examples
    --------
    >>> weighted_sum("200012345678")
    78

    References
    ----------
    [GS1] weights 3 and 1.
    """
    if not (body_digits.isascii() and body_digits.isdigit() and 7 <= len(body_digits) <= 17):
        raise ValueError("Give the 7 to 17 digits before the check digit.")
    weights = (first_weight, 4 - first_weight)
    return sum(int(digit) * weights[place % 2] for place, digit in enumerate(reversed(body_digits)))


def check_digit(body_digits: str) -> int:
    r"""Return the GS1 check digit.

    .. math:: c = (10 - S \bmod 10) \bmod 10

    Parameters
    ----------
    body_digits : str
        The digits before the check digit [digits]

    Returns
    -------
    int
        Check digit, 0 to 9 [1]

    Raises
    ------
    ValueError
        When it is not 7 to 17 digits.

    Notes
    -----
    Valid for GTIN-8, -12, -13, -14 and SSCC: 7 to 17 digits.

    Examples
    --------
    >>> check_digit("200012345678")
    2

    References
    ----------
    [GS1] difference to the next ten.
    """
    return (10 - weighted_sum(body_digits) % 10) % 10
