"""Hop weigh-out: change of lot and target bitterness."""


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
