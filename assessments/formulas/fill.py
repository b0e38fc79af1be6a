"""Fill by weight, and the tolerable error of one pre-pack."""

import math

AT_NOMINAL = "at or above nominal"
WITHIN_ERROR = "short, within the tolerable error"
BEYOND_ERROR = "short beyond the tolerable error"
BEYOND_TWICE = "short beyond twice the error"

#: Upper bound of nominal content [mL or g], then the percentage of it or the fixed step [mL or g].
ERROR_STEPS = (
    (50.0, 9.0, 0.0),
    (100.0, 0.0, 4.5),
    (200.0, 4.5, 0.0),
    (300.0, 0.0, 9.0),
    (500.0, 3.0, 0.0),
    (1000.0, 0.0, 15.0),
    (10000.0, 1.5, 0.0),
)


def fill_volume_ml(gross_g: float, tare_g: float, density_g_per_ml: float) -> float:
    r"""Return the volume in a container from its weight.

    .. math:: V = \frac{m_g - m_t}{\rho}

    Parameters
    ----------
    gross_g : float
        Full container, m_g [g]
    tare_g : float
        Empty container with its closure, m_t [g]
    density_g_per_ml : float
        Density of the drink at 20 degC, rho [g/mL]

    Returns
    -------
    float
        Volume at 20 degC, V [mL]

    Raises
    ------
    ValueError
        When the gross mass is not above the tare, or the density is outside 0.7 to 1.5 g/mL.

    Notes
    -----
    Valid for densities of 0.7 to 1.5 g/mL at 20 degC; the buoyancy of air, about 0.1 %, is left out.

    Examples
    --------
    >>> round(fill_volume_ml(515.0, 182.0, 1.008), 1)
    330.4

    References
    ----------
    [DIR-76-211] the volume counts at 20 degC.
    [ARITHMETIC] mass over density.
    """
    if gross_g <= tare_g or tare_g < 0:
        raise ValueError("The full container must weigh more than the empty one.")
    if not 0.7 <= density_g_per_ml <= 1.5:
        raise ValueError("The density must lie between 0.7 and 1.5 g/mL.")
    return (gross_g - tare_g) / density_g_per_ml


def tolerable_negative_error_ml(nominal_ml: float) -> float:
    r"""Return by how much one pre-pack may fall short of its nominal content.

    .. math:: TNE = \text{step of the table, or its percentage of } Q_n \text{ rounded up to } 0.1

    Parameters
    ----------
    nominal_ml : float
        Nominal content, Q_n [mL]

    Returns
    -------
    float
        Tolerable negative error [mL]

    Raises
    ------
    ValueError
        Outside 5 mL to 10 L.

    Notes
    -----
    Valid for 5 to 10 000 mL (or g). At a bound both steps give the same. The rounding up of percentages is from
    memory.

    Examples
    --------
    >>> tolerable_negative_error_ml(355.0)
    10.7

    References
    ----------
    [DIR-76-211] Annex I 2.4 and 2.5.
    """
    if not 5 <= nominal_ml <= 10000:
        raise ValueError("The table runs from 5 mL to 10 L.")
    row = next(place for place, (bound, _, _) in enumerate(ERROR_STEPS) if nominal_ml <= bound)
    return error_by_row_ml(nominal_ml, row)


def error_by_row_ml(nominal_ml: float, row_count: int) -> float:
    r"""Return the error that one row of the table gives, whether or not the content belongs there.

    .. math:: \text{step, or percentage of } Q_n \text{ rounded up to } 0.1

    Parameters
    ----------
    nominal_ml : float
        Nominal content, Q_n [mL]
    row_count : int
        Row of the table, from 0 [1]

    Returns
    -------
    float
        Error [mL]

    Raises
    ------
    ValueError
        When there is no such row.

    Notes
    -----
    Valid for the seven rows from 5 mL to 10 L.

    Examples
    --------
    >>> error_by_row_ml(330.0, 4)
    9.9

    References
    ----------
    [DIR-76-211] Annex I 2.4 and 2.5.
    """
    if not 0 <= row_count < len(ERROR_STEPS):
        raise ValueError("The table has seven rows.")
    _, percentage, step = ERROR_STEPS[row_count]
    if not percentage:
        return step
    # Rounded first to a hundredth of the place: 0.03 x 330 is a hair above 9.9 in binary.
    return math.ceil(round(nominal_ml * percentage / 10, 6)) / 10


def fill_judgement(volume_ml: float, nominal_ml: float) -> str:
    r"""Return what the volume of one container means under the tolerable negative error.

    .. math:: Q_n - V \le 0, \; \le TNE, \; \le 2\,TNE, \; \text{more}

    Parameters
    ----------
    volume_ml : float
        Volume measured, V [mL]
    nominal_ml : float
        Nominal content, Q_n [mL]

    Returns
    -------
    str
        `AT_NOMINAL`, `WITHIN_ERROR`, `BEYOND_ERROR` or `BEYOND_TWICE` [word]

    Raises
    ------
    ValueError
        When the nominal content is outside the table or the volume not above 0.

    Notes
    -----
    Valid for single containers of 5 mL to 10 L. A batch must also keep its mean and its number of defectives.

    Examples
    --------
    >>> fill_judgement(322.0, 330.0)
    'short, within the tolerable error'

    References
    ----------
    [DIR-76-211] Annex I 1.3 and 2.4.
    """
    if volume_ml <= 0:
        raise ValueError("The volume must be above 0 mL.")
    error = tolerable_negative_error_ml(nominal_ml)
    short = nominal_ml - volume_ml
    limits = ((0.0, AT_NOMINAL), (error, WITHIN_ERROR), (2 * error, BEYOND_ERROR))
    return next((word for limit, word in limits if short <= limit + 1e-9), BEYOND_TWICE)
