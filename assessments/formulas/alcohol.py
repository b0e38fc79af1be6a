"""Alcohol by weight and by volume, and the extract that it came from."""

from assessments.formulas.constants import (
    CO2_PER_ALCOHOL,
    ETHANOL_DENSITY,
    ETHANOL_TO_WATER,
    EXTRACT_PER_ALCOHOL,
    LITRES_PER_HECTOLITRE,
    PURE_ETHANOL_DENSITY,
    WATER_DENSITY,
    YIELD_FALL,
)


def _check_strength(strength_pct: float) -> None:
    if not 0 <= strength_pct <= 100:
        raise ValueError("The strength must lie between 0 and 100 %.")


def _check_gravity(gravity_sg: float) -> None:
    if not 0.79 <= gravity_sg <= 1.15:
        raise ValueError("The specific gravity must lie between 0.790 and 1.150.")


def alcohol_by_weight_pct(original_p: float, real_p: float) -> float:
    r"""Return the alcohol by weight from original and real extract.

    .. math:: A = \frac{OE - RE}{2.0665 - 0.010665 \, OE}

    Parameters
    ----------
    original_p : float
        Original extract, OE [degP]
    real_p : float
        Real extract, RE [degP]

    Returns
    -------
    float
        Alcohol by weight, A [% w/w]

    Raises
    ------
    ValueError
        When an extract is outside its range.

    Notes
    -----
    Valid for 8 <= OE <= 18 as measured; computed for 1 to 30, and 0 <= RE <= OE. Not for beer that was diluted after
    fermentation.

    Examples
    --------
    >>> round(alcohol_by_weight_pct(12.0, 4.2176), 3)
    4.015

    References
    ----------
    [BALLING] balance solved for the alcohol.
    """
    if not 1 <= original_p <= 30 or not 0 <= real_p <= original_p:
        raise ValueError("The original extract must lie between 1 and 30 °P, the real extract between 0 and that.")
    return (original_p - real_p) / (EXTRACT_PER_ALCOHOL.value - YIELD_FALL.value * original_p)


def original_extract_p(alcohol_pct: float, real_p: float) -> float:
    r"""Return the original extract from the alcohol by weight and the real extract of a beer.

    .. math:: OE = \frac{100 (2.0665 A + RE)}{100 + 1.0665 A}

    Parameters
    ----------
    alcohol_pct : float
        Alcohol by weight, A [% w/w]
    real_p : float
        Real extract, RE [degP]

    Returns
    -------
    float
        Original extract, OE [degP]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= A <= 12 and 0 <= RE <= 20. Against measured beers it is 0.1 to 0.25 degP off; not for beer that was
    diluted after fermentation.

    Examples
    --------
    >>> round(original_extract_p(4.0, 4.2), 2)
    11.96

    References
    ----------
    [BALLING] formula.
    """
    if not 0 <= alcohol_pct <= 12 or not 0 <= real_p <= 20:
        raise ValueError("The alcohol must lie between 0 and 12 % w/w, the real extract between 0 and 20 °P.")
    per_alcohol = EXTRACT_PER_ALCOHOL.value
    return 100 * (per_alcohol * alcohol_pct + real_p) / (100 + (per_alcohol - 1) * alcohol_pct)


def alcohol_by_volume_pct(by_weight_pct: float, gravity_sg: float) -> float:
    r"""Return the alcohol by volume from the alcohol by weight.

    .. math:: ABV = \frac{A \, S}{0.7907}

    Parameters
    ----------
    by_weight_pct : float
        Alcohol by weight, A [% w/w]
    gravity_sg : float
        Specific gravity 20/20 of the beer, S [1]

    Returns
    -------
    float
        Alcohol by volume, ABV [% vol]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= A <= 100 and 0.79 <= S <= 1.15 at 20 degC.

    Examples
    --------
    >>> round(alcohol_by_volume_pct(4.0, 1.0098), 2)
    5.11

    References
    ----------
    [OIML-R22] 0.7907 = 789.24/998.20.
    """
    _check_strength(by_weight_pct)
    _check_gravity(gravity_sg)
    return by_weight_pct * gravity_sg / ETHANOL_TO_WATER.value


def by_weight_from_volume_pct(by_volume_pct: float, density_kg_per_m3: float) -> float:
    r"""Return the alcohol by weight from the alcohol by volume and the density of the drink.

    .. math:: A = \frac{789.24 \, ABV}{\rho}

    Parameters
    ----------
    by_volume_pct : float
        Alcohol by volume, ABV [% vol]
    density_kg_per_m3 : float
        Density of the drink at 20 degC, rho [kg/m3]

    Returns
    -------
    float
        Alcohol by weight, A [% w/w]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= ABV <= 100 and 780 <= rho <= 1150 at 20 degC.

    Examples
    --------
    >>> round(by_weight_from_volume_pct(40.0, 948.05), 1)
    33.3

    References
    ----------
    [OIML-R22] density of ethanol at 20 degC.
    """
    _check_strength(by_volume_pct)
    if not 780 <= density_kg_per_m3 <= 1150:
        raise ValueError("The density must lie between 780 and 1150 kg/m³.")
    return PURE_ETHANOL_DENSITY.value * by_volume_pct / density_kg_per_m3


def ethanol_mass_g(volume_ml: float, strength_pct: float) -> float:
    r"""Return the mass of ethanol in a volume of drink.

    .. math:: m = 0.789 \, V \frac{ABV}{100}

    Parameters
    ----------
    volume_ml : float
        Drink, V [mL]
    strength_pct : float
        Alcohol by volume, ABV [% vol]

    Returns
    -------
    float
        Ethanol, m [g]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= ABV <= 100 at 20 degC.

    Examples
    --------
    >>> round(ethanol_mass_g(330.0, 5.0), 2)
    13.02

    References
    ----------
    [OIML-R22] density of ethanol at 20 degC.
    """
    _check_strength(strength_pct)
    if volume_ml < 0:
        raise ValueError("A volume cannot be negative.")
    return ETHANOL_DENSITY.value * volume_ml * strength_pct / 100


def fermentation_gas_kg(volume_hl: float, alcohol_pct: float, gravity_sg: float) -> float:
    r"""Return the CO2 that formed while a beer fermented.

    .. math:: m = 0.9565 \cdot 100 V \cdot 0.9982 S \cdot \frac{A}{100}

    Parameters
    ----------
    volume_hl : float
        Beer, V [hL]
    alcohol_pct : float
        Its alcohol by weight, A [% w/w]
    gravity_sg : float
        Its specific gravity 20/20, S [1]

    Returns
    -------
    float
        CO2 formed, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= A <= 100 and 0.79 <= S <= 1.15. Of 2.0665 g of extract come 1 g of ethanol, 0.9565 g of CO2 and
    0.11 g of yeast. A few grams a litre stay in the beer; the rest leaves the tank.

    Examples
    --------
    >>> round(fermentation_gas_kg(100.0, 4.0, 1.01))
    386

    References
    ----------
    [BALLING] mass balance of fermentation.
    [OIML-R22] density of water.
    """
    _check_strength(alcohol_pct)
    _check_gravity(gravity_sg)
    if volume_hl <= 0:
        raise ValueError("There must be more than 0 hL of beer.")
    beer_kg = LITRES_PER_HECTOLITRE.value * volume_hl * WATER_DENSITY.value * gravity_sg
    return CO2_PER_ALCOHOL.value * beer_kg * alcohol_pct / 100
