"""Making up cleaning liquor, and bringing it back to strength."""


def concentrate_mass_kg(batch_kg: float, target_pct: float, stock_pct: float) -> float:
    r"""Return the concentrate by mass for a batch of cleaning liquor, both strengths by weight.

    .. math:: m_1 = m_2 \frac{C_2}{C_1}

    Parameters
    ----------
    batch_kg : float
        Liquor to make, m_2 [kg]
    target_pct : float
        Strength wanted, C_2 [% w/w]
    stock_pct : float
        Strength of the concentrate, C_1 [% w/w]

    Returns
    -------
    float
        Concentrate, m_1 [kg]

    Raises
    ------
    ValueError
        When the target is not below the concentrate, or a strength is not between 0 and 100.

    Notes
    -----
    Valid for 0 < C_2 <= C_1 <= 100, both by weight.

    Examples
    --------
    >>> concentrate_mass_kg(1000.0, 2.0, 50.0)
    40.0

    References
    ----------
    [MASS-BALANCE] m_1 C_1 = m_2 C_2.
    """
    if batch_kg <= 0 or not 0 < target_pct <= stock_pct <= 100:
        raise ValueError("The target strength must be above 0 and not above that of the concentrate.")
    return batch_kg * target_pct / stock_pct


def concentrate_volume_l(batch_l: float, target_pct: float, stock_pct: float, stock_kg_per_l: float) -> float:
    r"""Return the concentrate by volume when the target is by weight per volume and the stock by weight.

    .. math:: V_1 = \frac{V_2 C_2}{C_1 \rho_1}

    Parameters
    ----------
    batch_l : float
        Liquor to make, V_2 [L]
    target_pct : float
        Strength wanted, C_2 [% w/v]
    stock_pct : float
        Strength of the concentrate, C_1 [% w/w]
    stock_kg_per_l : float
        Density of the concentrate, rho_1 [kg/L]

    Returns
    -------
    float
        Concentrate, V_1 [L]

    Raises
    ------
    ValueError
        When a strength or the density is outside its range.

    Notes
    -----
    Valid for 0 < C_2 < C_1 <= 100 and densities of 0.9 to 2 kg/L; 1 % w/v is 10 g in a litre.

    Examples
    --------
    >>> round(concentrate_volume_l(800.0, 2.0, 32.0, 1.35), 1)
    37.0

    References
    ----------
    [MASS-BALANCE] chemical in the batch over chemical in a litre of concentrate.
    """
    if batch_l <= 0 or not 0 < target_pct < stock_pct <= 100:
        raise ValueError("The target strength must be above 0 and below that of the concentrate.")
    if not 0.9 <= stock_kg_per_l <= 2:
        raise ValueError("The density of the concentrate must lie between 0.9 and 2 kg/L.")
    return batch_l * target_pct / (stock_pct * stock_kg_per_l)


def stock_volume_l(
    batch_l: float, target_pct: float, target_kg_per_l: float, stock_pct: float, stock_kg_per_l: float
) -> float:
    r"""Return the concentrate by volume when both strengths are by weight.

    .. math:: V_1 = V_2 \frac{\rho_2 C_2}{\rho_1 C_1}

    Parameters
    ----------
    batch_l : float
        Liquor to make, V_2 [L]
    target_pct : float
        Strength wanted, C_2 [% w/w]
    target_kg_per_l : float
        Density of the liquor, rho_2 [kg/L]
    stock_pct : float
        Strength of the concentrate, C_1 [% w/w]
    stock_kg_per_l : float
        Density of the concentrate, rho_1 [kg/L]

    Returns
    -------
    float
        Concentrate, V_1 [L]

    Raises
    ------
    ValueError
        When a strength or a density is outside its range.

    Notes
    -----
    Valid for 0 < C_2 < C_1 <= 100 and densities of 0.9 to 2 kg/L, all at one temperature.

    Examples
    --------
    >>> round(stock_volume_l(1000.0, 2.0, 1.02, 50.0, 1.516), 1)
    26.9

    References
    ----------
    [MASS-BALANCE] chemical in the batch over chemical in a litre of concentrate.
    """
    if not 0.9 <= target_kg_per_l <= 2:
        raise ValueError("The density of the liquor must lie between 0.9 and 2 kg/L.")
    return concentrate_volume_l(batch_l, target_pct, stock_pct, stock_kg_per_l) * target_kg_per_l


def strengthening_volume_l(
    tank_l: float, present_pct: float, target_pct: float, stock_pct: float, stock_kg_per_l: float
) -> float:
    r"""Return the concentrate that brings a tank of weak liquor back to strength.

    .. math:: V_1 = V \frac{C_2 - C_0}{C_1 \rho_1 - C_2}

    Parameters
    ----------
    tank_l : float
        Liquor in the tank, V [L]
    present_pct : float
        Its strength, C_0 [% w/v]
    target_pct : float
        Strength wanted, C_2 [% w/v]
    stock_pct : float
        Strength of the concentrate, C_1 [% w/w]
    stock_kg_per_l : float
        Density of the concentrate, rho_1 [kg/L]

    Returns
    -------
    float
        Concentrate to add, V_1 [L]

    Raises
    ------
    ValueError
        When a strength or the density is outside its range.

    Notes
    -----
    Valid for 0 <= C_0 <= C_2 < C_1 <= 100 and densities of 0.9 to 2 kg/L; volumes are taken as additive.

    Examples
    --------
    >>> round(strengthening_volume_l(1000.0, 1.5, 2.0, 50.0, 1.52), 2)
    6.76

    References
    ----------
    [MASS-BALANCE] V C_0 + V_1 C_1 rho_1 = (V + V_1) C_2.
    """
    if tank_l <= 0 or not 0 <= present_pct <= target_pct < stock_pct <= 100:
        raise ValueError("The strength wanted must lie between that of the tank and that of the concentrate.")
    if not 0.9 <= stock_kg_per_l <= 2:
        raise ValueError("The density of the concentrate must lie between 0.9 and 2 kg/L.")
    return tank_l * (target_pct - present_pct) / (stock_pct * stock_kg_per_l - target_pct)


def caustic_density_kg_per_l(strength_pct: float) -> float:
    r"""Return the density of caustic soda at 20 degC.

    .. math:: \rho = 0.996 + 0.01175 \, C - 0.000026 \, C^2

    Parameters
    ----------
    strength_pct : float
        Strength, C [% w/w]

    Returns
    -------
    float
        Density, rho [kg/L]

    Raises
    ------
    ValueError
        Outside 0 to 50 %.

    Notes
    -----
    Valid for 0 to 50 % by weight at 20 degC, to 0.003 kg/L of the model; handbooks differ from it by as much as
    0.009 kg/L at 50 %.

    Examples
    --------
    >>> round(caustic_density_kg_per_l(50.0), 2)
    1.52

    References
    ----------
    [LALIBERTE] fitted here.
    """
    if not 0 <= strength_pct <= 50:
        raise ValueError("The strength must lie between 0 and 50 %.")
    return 0.996 + 0.01175 * strength_pct - 0.000026 * strength_pct**2
