"""Where a label sits."""

import math


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
