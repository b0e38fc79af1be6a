"""Rates and times of a packaging line."""


def good_rate_per_h(good_count: float, running_h: float) -> float:
    r"""Return the good units that a line makes in an hour of running.

    .. math:: q = \frac{N}{t}

    Parameters
    ----------
    good_count : float
        Good units, N [1]
    running_h : float
        Running time, t [h]

    Returns
    -------
    float
        Rate, q [1/h]

    Raises
    ------
    ValueError
        When the time is not above 0 or the count is negative.

    Notes
    -----
    Valid for a time above 0, in decimal hours: 2 h 24 min is 2.4 h.

    Examples
    --------
    >>> good_rate_per_h(54000.0, 2.4)
    22500.0

    References
    ----------
    [ARITHMETIC] count over time.
    """
    if running_h <= 0 or good_count < 0:
        raise ValueError("The running time must be above 0 h and the count not negative.")
    return good_count / running_h


def hours_left_h(units_count: float, rate_per_h: float) -> float:
    r"""Return the time that the units still to make will take.

    .. math:: t = \frac{N}{q}

    Parameters
    ----------
    units_count : float
        Units still to make, N [1]
    rate_per_h : float
        Good units an hour, q [1/h]

    Returns
    -------
    float
        Time left, t [h]

    Raises
    ------
    ValueError
        When the rate is not above 0 or the count is negative.

    Notes
    -----
    Valid for a line that keeps its rate, stops included in it.

    Examples
    --------
    >>> hours_left_h(45000.0, 22500.0)
    2.0

    References
    ----------
    [ARITHMETIC] count over rate.
    """
    if rate_per_h <= 0 or units_count < 0:
        raise ValueError("The rate must be above 0 and the count not negative.")
    return units_count / rate_per_h
