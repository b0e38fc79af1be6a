"""How large the print on a label must be."""

from assessments.formulas.constants import MM_PER_POINT

#: Least x-height [mm], and on packs whose largest surface is below 80 cm2.
LEAST_X_HEIGHT, LEAST_ON_SMALL, SMALL_BELOW = 1.2, 0.9, 80.0
#: Largest nominal content of a row [mL or g], then the least height of the figures of the quantity [mm].
FIGURE_HEIGHTS = ((50.0, 2.0), (200.0, 3.0), (1000.0, 4.0), (100_000.0, 6.0))


def x_height_mm(type_pt: float, x_height_fraction: float) -> float:
    r"""Return the height of the small x of a typeface.

    .. math:: x = 0.3528\,p f

    Parameters
    ----------
    type_pt : float
        Size of type, p [pt]
    x_height_fraction : float
        Height of the x as a share of the size, f [1]

    Returns
    -------
    float
        x-height [mm]

    Raises
    ------
    ValueError
        When the size is not above 0, or the share not between 0 and 1.

    Notes
    -----
    Valid for the point of 1/72 inch that layout programs use; the share belongs to the typeface.

    Examples
    --------
    >>> round(x_height_mm(8.0, 0.448), 2)
    1.26

    References
    ----------
    [POINT] 0.3528 mm.
    """
    if type_pt <= 0 or not 0 < x_height_fraction < 1:
        raise ValueError("The size must be above 0 pt and the share between 0 and 1.")
    return MM_PER_POINT.value * type_pt * x_height_fraction


def least_x_height_mm(surface_cm2: float) -> float:
    r"""Return the least x-height of the particulars that the law asks for.

    .. math:: x_0 = 1.2 \text{ or, below } 80\ \mathrm{cm^2}, 0.9

    Parameters
    ----------
    surface_cm2 : float
        Largest surface of the pack [cm2]

    Returns
    -------
    float
        Least x-height [mm]

    Raises
    ------
    ValueError
        When the surface is not above 0.

    Notes
    -----
    Valid in the European Union. The figures of the quantity have their own, larger heights.

    Examples
    --------
    >>> least_x_height_mm(75.0)
    0.9

    References
    ----------
    [REG-1169-13] Article 13(2) and (3).
    """
    if surface_cm2 <= 0:
        raise ValueError("The surface must be above 0 cm².")
    return LEAST_ON_SMALL if surface_cm2 < SMALL_BELOW else LEAST_X_HEIGHT


def figure_height_mm(nominal_ml: float) -> float:
    r"""Return the least height of the figures that state the quantity.

    .. math:: h_0 = 2, 3, 4 \text{ or } 6 \text{ by the row of } Q_n

    Parameters
    ----------
    nominal_ml : float
        Nominal content, Q_n [mL]

    Returns
    -------
    float
        Least height [mm]

    Raises
    ------
    ValueError
        When the content is not above 0 or above 100 L.

    Notes
    -----
    Valid in the European Union, up to 50, 200, 1000 mL and above; a bound belongs to the lower row.

    Examples
    --------
    >>> figure_height_mm(330.0)
    4.0

    References
    ----------
    [DIR-76-211] Annex I 3.1.
    """
    if not 0 < nominal_ml <= FIGURE_HEIGHTS[-1][0]:
        raise ValueError("The content must be above 0 mL and not above 100 L.")
    return next(height for bound, height in FIGURE_HEIGHTS if nominal_ml <= bound)
