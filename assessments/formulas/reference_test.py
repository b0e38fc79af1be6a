"""The reference test of fills: buoyancy of air, the bound for one pack, and kegs."""

from assessments.formulas.constants import AIR_DENSITY, BALANCE_WEIGHTS_DENSITY
from assessments.formulas.fill import tolerable_negative_error_ml


def volume_in_air_ml(net_g: float, density_g_per_ml: float) -> float:
    r"""Return the volume of a liquid weighed in air.

    .. math:: V = m \frac{1 - \rho_a / \rho_w}{\rho - \rho_a}

    Parameters
    ----------
    net_g : float
        Reading of the scale less the tare, m [g]
    density_g_per_ml : float
        Density of the drink at 20 degC, rho [g/mL]

    Returns
    -------
    float
        Volume at 20 degC, V [mL]

    Raises
    ------
    ValueError
        When the net reading is not above 0, or the density is outside 0.7 to 1.5 g/mL.

    Notes
    -----
    Valid for air of 0.0012 g/mL and a scale set with weights of 8.0 g/mL. Mass over density alone gives
    0.07 % less at 1.5 g/mL, 0.10 % at 1.008 and 0.16 % at 0.7.

    Examples
    --------
    >>> round(volume_in_air_ml(334.3, 1.008), 1)
    332.0

    References
    ----------
    [OIML-BUOYANCY] conventional densities of air and weights.
    [DIR-76-211] the volume counts at 20 degC.
    """
    if net_g <= 0:
        raise ValueError("The net reading must be above 0 g.")
    if not 0.7 <= density_g_per_ml <= 1.5:
        raise ValueError("The density must lie between 0.7 and 1.5 g/mL.")
    air, weights = AIR_DENSITY.value, BALANCE_WEIGHTS_DENSITY.value
    return net_g * (1 - air / weights) / (density_g_per_ml - air)


def least_with_e_mark_ml(nominal_ml: float) -> float:
    r"""Return the least content that any pack with the e mark may have.

    .. math:: Q_0 = Q_n - 2\,TNE

    Parameters
    ----------
    nominal_ml : float
        Nominal content, Q_n [mL]

    Returns
    -------
    float
        Least content [mL]

    Raises
    ------
    ValueError
        Outside 5 mL to 10 L.

    Notes
    -----
    Valid for 5 to 10 000 mL: no pack below it may carry the mark, however good its batch.

    Examples
    --------
    >>> round(least_with_e_mark_ml(330.0), 1)
    310.2

    References
    ----------
    [DIR-76-211] Annex I 1.3.
    """
    return nominal_ml - 2 * tolerable_negative_error_ml(nominal_ml)


def keg_error_ml(nominal_ml: float) -> float:
    r"""Return by how much one keg may fall short of its nominal content.

    .. math:: TNE = 150\ \mathrm{mL} \text{ up to } 15\,000\ \mathrm{mL}, \; 0.01\,Q_n \text{ above}

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
        Outside 10 L to 100 L.

    Notes
    -----
    Valid above 10 L, where Directive 76/211/EEC ends, up to 100 L.

    Examples
    --------
    >>> keg_error_ml(30000.0)
    300.0

    References
    ----------
    [LC-METROLOGY] the rows above 10 kg or L.
    """
    if not 10_000 < nominal_ml <= 100_000:
        raise ValueError("These rows run from above 10 L to 100 L.")
    return 150.0 if nominal_ml <= 15_000 else nominal_ml / 100
