"""Concentrations: by mass and by volume."""


def _check(amount: float, density_kg_per_l: float) -> None:
    if amount < 0:
        raise ValueError("A concentration cannot be negative.")
    if not 0.7 <= density_kg_per_l <= 2:
        raise ValueError("The density must lie between 0.7 and 2 kg/L.")


def content_mg_per_kg(concentration_mg_per_l: float, density_kg_per_l: float) -> float:
    r"""Return a content by mass (ppm) from a concentration by volume.

    .. math:: w = \frac{c}{\rho}

    Parameters
    ----------
    concentration_mg_per_l : float
        Concentration, c [mg/L]
    density_kg_per_l : float
        Density of the liquid, rho [kg/L]

    Returns
    -------
    float
        Content by mass, w [mg/kg]

    Raises
    ------
    ValueError
        For a negative concentration, or a density outside 0.7 to 2 kg/L.

    Notes
    -----
    Valid for 0.7 <= rho <= 2. One ppm by mass is one mg/kg; it equals one mg/L only where a litre weighs a kilogram.

    Examples
    --------
    >>> round(content_mg_per_kg(50.0, 1.048), 2)
    47.71

    References
    ----------
    [ARITHMETIC] definition of ppm by mass.
    """
    _check(concentration_mg_per_l, density_kg_per_l)
    return concentration_mg_per_l / density_kg_per_l


def concentration_mg_per_l(content_mg_per_kg: float, density_kg_per_l: float) -> float:
    r"""Return a concentration by volume from a content by mass (ppm).

    .. math:: c = w \, \rho

    Parameters
    ----------
    content_mg_per_kg : float
        Content by mass, w [mg/kg]
    density_kg_per_l : float
        Density of the liquid, rho [kg/L]

    Returns
    -------
    float
        Concentration, c [mg/L]

    Raises
    ------
    ValueError
        For a negative content, or a density outside 0.7 to 2 kg/L.

    Notes
    -----
    Valid for 0.7 <= rho <= 2.

    Examples
    --------
    >>> round(concentration_mg_per_l(50.0, 1.048), 1)
    52.4

    References
    ----------
    [ARITHMETIC] definition of ppm by mass.
    """
    _check(content_mg_per_kg, density_kg_per_l)
    return content_mg_per_kg * density_kg_per_l


def concentration_ug_per_l(content_ug_per_kg: float, density_kg_per_l: float) -> float:
    r"""Return a concentration by volume from a content by mass in parts per billion.

    .. math:: c = w \, \rho

    Parameters
    ----------
    content_ug_per_kg : float
        Content by mass, w [ug/kg]
    density_kg_per_l : float
        Density of the liquid, rho [kg/L]

    Returns
    -------
    float
        Concentration, c [ug/L]

    Raises
    ------
    ValueError
        For a negative content, or a density outside 0.7 to 2 kg/L.

    Notes
    -----
    Valid for 0.7 <= rho <= 2. One ppb by mass is one microgram in a kilogram, a thousandth of a ppm.

    Examples
    --------
    >>> round(concentration_ug_per_l(35.0, 1.008), 2)
    35.28

    References
    ----------
    [ARITHMETIC] definition of ppb by mass.
    """
    _check(content_ug_per_kg, density_kg_per_l)
    return content_ug_per_kg * density_kg_per_l


def concentration_g_per_l(content_pct: float, density_kg_per_l: float) -> float:
    r"""Return a concentration by volume from a content in per cent by weight.

    .. math:: c = 10 \, w \, \rho

    Parameters
    ----------
    content_pct : float
        Content by mass, w [% w/w]
    density_kg_per_l : float
        Density of the liquid, rho [kg/L]

    Returns
    -------
    float
        Concentration, c [g/L]

    Raises
    ------
    ValueError
        For a content outside 0 to 100 %, or a density outside 0.7 to 2 kg/L.

    Notes
    -----
    Valid for 0 <= w <= 100 and 0.7 <= rho <= 2.

    Examples
    --------
    >>> round(concentration_g_per_l(0.5, 1.008), 2)
    5.04

    References
    ----------
    [ARITHMETIC] 1 % is 10 g/kg.
    """
    _check(content_pct, density_kg_per_l)
    if content_pct > 100:
        raise ValueError("A content by weight cannot be above 100 %.")
    return 10 * content_pct * density_kg_per_l
