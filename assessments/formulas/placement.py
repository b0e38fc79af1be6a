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


def allowed_rise_mm(width_mm: float, limit_deg: float) -> float:
    r"""Return by how much the edges of a label may differ in height at a limit of its angle.

    .. math:: \Delta h = b \tan \beta

    Parameters
    ----------
    width_mm : float
        Width of the label along the surface, b [mm]
    limit_deg : float
        Largest angle allowed, beta [deg]

    Returns
    -------
    float
        Difference in height [mm]

    Raises
    ------
    ValueError
        When the width is not above 0 or the limit outside 0 to 45 deg.

    Notes
    -----
    Valid for the label laid flat and limits up to 45 degrees.

    Examples
    --------
    >>> round(allowed_rise_mm(90.0, 1.0), 2)
    1.57

    References
    ----------
    [GEOMETRY] tangent.
    """
    if width_mm <= 0 or not 0 <= limit_deg <= 45:
        raise ValueError("The width must be above 0 mm and the limit between 0 and 45 degrees.")
    return width_mm * math.tan(math.radians(limit_deg))


def angle_round_bottle_deg(rise_mm: float, diameter_mm: float) -> float:
    r"""Return the angle of a label from two heights on opposite sides of a bottle.

    .. math:: \beta = \arctan \frac{\Delta h}{\pi D / 2}

    Parameters
    ----------
    rise_mm : float
        Difference of the two heights [mm]
    diameter_mm : float
        Diameter of the bottle, D [mm]

    Returns
    -------
    float
        Angle [deg]

    Raises
    ------
    ValueError
        When the diameter is not above 0 or the difference negative.

    Notes
    -----
    Valid for two points half round an upright, round bottle, the label laid flat.

    Examples
    --------
    >>> round(angle_round_bottle_deg(2.0, 60.0), 2)
    1.22

    References
    ----------
    [GEOMETRY] half the circumference, and the tangent.
    """
    if rise_mm < 0 or diameter_mm <= 0:
        raise ValueError("The difference cannot be negative, and the diameter must be above 0 mm.")
    return math.degrees(math.atan(rise_mm / (math.pi * diameter_mm / 2)))
