"""Hop weigh-out: change of lot, target bitterness, rate by volume; bitterness measured."""

from assessments.formulas.constants import BITTERNESS_FACTOR, GRAMS_PER_POUND, LITRES_PER_BEER_BARREL


def lot_mass_kg(recipe_mass_kg: float, recipe_alpha_pct: float, lot_alpha_pct: float) -> float:
    r"""Return the mass of another hop lot that brings the same alpha acid.

    .. math:: m = m_r \frac{\alpha_r}{\alpha_l}

    Parameters
    ----------
    recipe_mass_kg : float
        Mass in the recipe, m_r [kg]
    recipe_alpha_pct : float
        Alpha acid that the recipe counts on, alpha_r [%]
    lot_alpha_pct : float
        Alpha acid of the lot in hand, alpha_l [%]

    Returns
    -------
    float
        Mass to weigh out, m [kg]

    Raises
    ------
    ValueError
        When an alpha acid is outside 0.5 to 60 % or the mass is not above 0.

    Notes
    -----
    Valid for 0.5 to 60 % alpha acid (cones to extract), at the same moment of addition.

    Examples
    --------
    >>> round(lot_mass_kg(4.0, 10.0, 8.8), 2)
    4.55

    References
    ----------
    [MASS-BALANCE] m alpha stays the same.
    """
    if recipe_mass_kg <= 0:
        raise ValueError("The mass in the recipe must be above 0 kg.")
    if not (0.5 <= recipe_alpha_pct <= 60 and 0.5 <= lot_alpha_pct <= 60):
        raise ValueError("Alpha acid must lie between 0.5 and 60 %.")
    return recipe_mass_kg * recipe_alpha_pct / lot_alpha_pct


def hop_mass_kg(volume_hl: float, bitterness_mg_per_l: float, alpha_pct: float, utilisation_pct: float) -> float:
    r"""Return the hops to weigh out for a target bitterness.

    .. math:: m = \frac{100 V \cdot B}{10^6 (\alpha/100)(U/100)}

    Parameters
    ----------
    volume_hl : float
        Cold wort, V [hL]
    bitterness_mg_per_l : float
        Bitterness wanted, taken as iso-alpha acid, B [mg/L]
    alpha_pct : float
        Alpha acid of the hops, alpha [%]
    utilisation_pct : float
        Share of the alpha acid that reaches the beer, U [%]

    Returns
    -------
    float
        Mass of hops, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0.5 to 60 % alpha acid, 1 to 100 % utilisation, up to 120 mg/L. One bitterness unit is taken as
    1 mg/L.

    Examples
    --------
    >>> round(hop_mass_kg(100.0, 25.0, 10.0, 30.0), 2)
    8.33

    References
    ----------
    [MASS-BALANCE] alpha acid in, iso-alpha acid out.
    """
    if volume_hl <= 0 or not 0 < bitterness_mg_per_l <= 120:
        raise ValueError("The volume must be above 0 hL and the bitterness between 0 and 120 mg/L.")
    if not 0.5 <= alpha_pct <= 60 or not 1 <= utilisation_pct <= 100:
        raise ValueError("Alpha acid must lie between 0.5 and 60 %, utilisation between 1 and 100 %.")
    return 100 * volume_hl * bitterness_mg_per_l / (1e6 * (alpha_pct / 100) * (utilisation_pct / 100))


def bitterness_mg_per_l(hops_kg: float, volume_hl: float, alpha_pct: float, utilisation_pct: float) -> float:
    r"""Return the bitterness that an addition of hops brings.

    .. math:: B = \frac{10^6 m (\alpha/100)(U/100)}{100 V}

    Parameters
    ----------
    hops_kg : float
        Mass of hops, m [kg]
    volume_hl : float
        Cold wort, V [hL]
    alpha_pct : float
        Alpha acid of the hops, alpha [%]
    utilisation_pct : float
        Share of the alpha acid that reaches the beer, U [%]

    Returns
    -------
    float
        Bitterness as iso-alpha acid, B [mg/L]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0.5 to 60 % alpha acid and 1 to 100 % utilisation. One bitterness unit is taken as 1 mg/L.

    Examples
    --------
    >>> round(bitterness_mg_per_l(20.0, 200.0, 8.0, 28.0), 1)
    22.4

    References
    ----------
    [MASS-BALANCE] alpha acid in, iso-alpha acid out.
    """
    if hops_kg <= 0 or volume_hl <= 0:
        raise ValueError("Hops and wort must be above 0.")
    if not 0.5 <= alpha_pct <= 60 or not 1 <= utilisation_pct <= 100:
        raise ValueError("Alpha acid must lie between 0.5 and 60 %, utilisation between 1 and 100 %.")
    return 1e6 * hops_kg * (alpha_pct / 100) * (utilisation_pct / 100) / (100 * volume_hl)


def addition_mass_kg(volume_hl: float, rate_g_per_hl: float) -> float:
    r"""Return the hops of an aroma addition from its rate.

    .. math:: m = \frac{V r}{1000}

    Parameters
    ----------
    volume_hl : float
        Cold wort or beer, V [hL]
    rate_g_per_hl : float
        Hops per volume, r [g/hL]

    Returns
    -------
    float
        Mass of hops, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for volumes above 0 and rates above 0 up to 3000 g/hL.

    Examples
    --------
    >>> addition_mass_kg(120.0, 250.0)
    30.0

    References
    ----------
    [ARITHMETIC] volume times rate.
    [PRACTICE] the rates.
    """
    if volume_hl <= 0 or not 0 < rate_g_per_hl <= 3000:
        raise ValueError("The volume must be above 0 hL and the rate between 0 and 3000 g/hL.")
    return volume_hl * rate_g_per_hl / 1000


def rate_g_per_hl_from_barrels(rate_lb_per_bbl: float) -> float:
    r"""Return a hop rate in grams per hectolitre from pounds per US beer barrel.

    .. math:: r = r_b \frac{453.59237}{1.173478}

    Parameters
    ----------
    rate_lb_per_bbl : float
        Hops per US beer barrel of 31 US gallons, r_b [lb/US bbl]

    Returns
    -------
    float
        Hops per hectolitre, r [g/hL]

    Raises
    ------
    ValueError
        Outside 0 to 10 lb/US bbl.

    Notes
    -----
    Valid for 0 to 10 pounds to the beer barrel of 117.3478 L; other barrels hold more.

    Examples
    --------
    >>> round(rate_g_per_hl_from_barrels(1.0), 1)
    386.5

    References
    ----------
    [SP811] the pound.
    [CFR27] the beer barrel.
    """
    if not 0 <= rate_lb_per_bbl <= 10:
        raise ValueError("The rate must lie between 0 and 10 pounds per barrel.")
    return rate_lb_per_bbl * GRAMS_PER_POUND.value / (LITRES_PER_BEER_BARREL.value / 100)


def bitterness_units(absorbance_au: float) -> float:
    r"""Return bitterness units from the absorbance of the extract in iso-octane.

    .. math:: B = 50 \, A_{275}

    Parameters
    ----------
    absorbance_au : float
        Absorbance at 275 nm in 1 cm, A_275 [AU]

    Returns
    -------
    float
        Bitterness [BU]

    Raises
    ------
    ValueError
        Outside 0 to 3 AU.

    Notes
    -----
    Valid for 0 to 3 AU in a 1 cm cell, against iso-octane carried through the same steps.

    Examples
    --------
    >>> bitterness_units(0.5)
    25.0

    References
    ----------
    [EBC-BITTER] factor 50, from memory.
    """
    if not 0 <= absorbance_au <= 3:
        raise ValueError("The absorbance must lie between 0 and 3 AU.")
    return BITTERNESS_FACTOR.value * absorbance_au
