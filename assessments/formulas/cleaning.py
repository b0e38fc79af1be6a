"""Making up cleaning liquor."""


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
