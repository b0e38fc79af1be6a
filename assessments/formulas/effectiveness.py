"""How well a line used its time, in the terms of ISO 22400-2."""


def availability_pct(planned_min: float, running_min: float) -> float:
    r"""Return the share of the planned time in which a line ran.

    .. math:: A = 100 \frac{APT}{PBT}

    Parameters
    ----------
    planned_min : float
        Planned busy time, PBT [min]
    running_min : float
        Actual production time, APT [min]

    Returns
    -------
    float
        Availability, A [%]

    Raises
    ------
    ValueError
        When the line ran longer than planned, or a time is not above 0.

    Notes
    -----
    Valid for one shift or order; planned breaks are no part of the planned busy time.

    Examples
    --------
    >>> round(availability_pct(435.0, 405.0), 1)
    93.1

    References
    ----------
    [ISO-22400] availability.
    """
    if not 0 < running_min <= planned_min:
        raise ValueError("The running time must be above 0 and not above the planned time.")
    return 100 * running_min / planned_min


def effectiveness_pct(item_s: float, produced_count: float, running_min: float) -> float:
    r"""Return how near a line came to its planned pace while it ran.

    .. math:: E = 100 \frac{PRI \cdot PQ}{60\,APT}

    Parameters
    ----------
    item_s : float
        Planned run time for one item, PRI [s]
    produced_count : float
        Items produced, rejects counted, PQ [1]
    running_min : float
        Actual production time, APT [min]

    Returns
    -------
    float
        Effectiveness, E [%]

    Raises
    ------
    ValueError
        When a time is not above 0 or the count is negative.

    Notes
    -----
    Valid for one kind of item; above 100 % the planned run time is out of date.

    Examples
    --------
    >>> round(effectiveness_pct(30.0, 700.0, 405.0), 2)
    86.42

    References
    ----------
    [ISO-22400] effectiveness.
    """
    if item_s <= 0 or running_min <= 0 or produced_count < 0:
        raise ValueError("The times must be above 0 and the count not negative.")
    return 100 * item_s * produced_count / (60 * running_min)


def quality_pct(produced_count: float, rejected_count: float) -> float:
    r"""Return the share of the items produced that are good.

    .. math:: Q = 100 \frac{PQ - r}{PQ}

    Parameters
    ----------
    produced_count : float
        Items produced, PQ [1]
    rejected_count : float
        Items rejected, r [1]

    Returns
    -------
    float
        Quality ratio, Q [%]

    Raises
    ------
    ValueError
        When nothing was produced, or the rejects are not between 0 and all.

    Notes
    -----
    Valid when every reject is counted once; the good quantity of the standard is PQ - r.

    Examples
    --------
    >>> quality_pct(400.0, 20.0)
    95.0

    References
    ----------
    [ISO-22400] quality ratio.
    """
    if produced_count <= 0 or not 0 <= rejected_count <= produced_count:
        raise ValueError("Rejects lie between 0 and all that was produced.")
    return 100 * (produced_count - rejected_count) / produced_count


def overall_effectiveness_pct(running_share_pct: float, pace_pct: float, good_pct: float) -> float:
    r"""Return the overall equipment effectiveness: the product of its three shares.

    .. math:: OEE = \frac{A E Q}{100^2}

    Parameters
    ----------
    running_share_pct : float
        Availability, A [%]
    pace_pct : float
        Effectiveness, E [%]
    good_pct : float
        Quality ratio, Q [%]

    Returns
    -------
    float
        Overall equipment effectiveness [%]

    Raises
    ------
    ValueError
        When availability or quality is outside 0 to 100 %, or the effectiveness negative.

    Notes
    -----
    Valid for the three shares of one and the same time.

    Examples
    --------
    >>> round(overall_effectiveness_pct(87.5, 95.238, 95.0), 1)
    79.2

    References
    ----------
    [ISO-22400] overall equipment effectiveness index.
    """
    if not 0 <= running_share_pct <= 100 or not 0 <= good_pct <= 100 or pace_pct < 0:
        raise ValueError("Availability and quality lie between 0 and 100 %, and the effectiveness is not negative.")
    return running_share_pct * pace_pct * good_pct / 100**2
