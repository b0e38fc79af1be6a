"""Rates and times of a packaging line."""

#: Millilitres in a hectolitre.
ML_PER_HL = 100_000


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


def units_per_min(rate_per_h: float) -> float:
    r"""Return how many units a machine passes in a minute.

    .. math:: q_m = \frac{q}{60}

    Parameters
    ----------
    rate_per_h : float
        Units an hour, q [1/h]

    Returns
    -------
    float
        Units a minute, q_m [1/min]

    Raises
    ------
    ValueError
        When the rate is negative.

    Notes
    -----
    Valid for a machine that keeps its rate.

    Examples
    --------
    >>> units_per_min(36000.0)
    600.0

    References
    ----------
    [ARITHMETIC] 60 minutes to the hour.
    """
    if rate_per_h < 0:
        raise ValueError("The rate cannot be negative.")
    return rate_per_h / 60


def line_volume_hl_per_h(rate_per_h: float, fill_ml: float) -> float:
    r"""Return the volume that a line fills in an hour.

    .. math:: Q = \frac{q V}{100\,000}

    Parameters
    ----------
    rate_per_h : float
        Containers an hour, q [1/h]
    fill_ml : float
        Nominal fill, V [mL]

    Returns
    -------
    float
        Volume an hour, Q [hL/h]

    Raises
    ------
    ValueError
        When the rate or the fill is not above 0.

    Notes
    -----
    Valid for full containers; what is lost in starting and stopping comes on top.

    Examples
    --------
    >>> round(line_volume_hl_per_h(36000.0, 330.0), 1)
    118.8

    References
    ----------
    [ARITHMETIC] 100 000 mL to the hL.
    """
    if rate_per_h <= 0 or fill_ml <= 0:
        raise ValueError("The rate and the fill must be above 0.")
    return rate_per_h * fill_ml / ML_PER_HL


def emptying_min(tank_hl: float, volume_hl_per_h: float) -> float:
    r"""Return how long a line takes to empty a tank.

    .. math:: t = 60 \frac{V}{Q}

    Parameters
    ----------
    tank_hl : float
        Beer in the tank, V [hL]
    volume_hl_per_h : float
        Volume that the line fills an hour, Q [hL/h]

    Returns
    -------
    float
        Time, t [min]

    Raises
    ------
    ValueError
        When the volume is negative or the rate not above 0.

    Notes
    -----
    Valid for a line that keeps its rate; the last hectolitres of a tank run slower.

    Examples
    --------
    >>> round(emptying_min(240.0, 118.8))
    121

    References
    ----------
    [ARITHMETIC] volume over rate.
    """
    if tank_hl < 0 or volume_hl_per_h <= 0:
        raise ValueError("The volume cannot be negative, and the rate must be above 0 hL/h.")
    return 60 * tank_hl / volume_hl_per_h
