"""The energy value on a label."""

from assessments.formulas.constants import ETHANOL_DENSITY

#: Energy of a gram [kJ/g], and [kcal/g]: the law gives each its own figures.
KJ_PER_G = {"alcohol": 29, "carbohydrate": 17, "protein": 17, "acid": 13, "polyols": 10}
KCAL_PER_G = {"alcohol": 7, "carbohydrate": 4, "protein": 4}


def energy_kj_per_100ml(strength_pct: float, carbohydrate_g_per_100ml: float, protein_g_per_100ml: float) -> float:
    r"""Return the energy of 100 mL of beer in kilojoules.

    .. math:: E = 29 \rho_e a + 17 (c + p)

    Parameters
    ----------
    strength_pct : float
        Strength, a [% vol]
    carbohydrate_g_per_100ml : float
        Carbohydrate, c [g/100 mL]
    protein_g_per_100ml : float
        Protein, p [g/100 mL]

    Returns
    -------
    float
        Energy [kJ/100 mL]

    Raises
    ------
    ValueError
        When the strength is outside 0 to 100 % vol or a content negative.

    Notes
    -----
    Valid for drinks without fat, fibre, acids or polyols to speak of; ethanol of 0.789 g/mL.

    Examples
    --------
    >>> round(energy_kj_per_100ml(5.0, 3.2, 0.4), 1)
    175.6

    References
    ----------
    [REG-1169-XIV] factors.
    """
    _refuse(strength_pct, carbohydrate_g_per_100ml, protein_g_per_100ml)
    alcohol = strength_pct * ETHANOL_DENSITY.value
    solids = KJ_PER_G["carbohydrate"] * carbohydrate_g_per_100ml + KJ_PER_G["protein"] * protein_g_per_100ml
    return KJ_PER_G["alcohol"] * alcohol + solids


def energy_kcal_per_100ml(strength_pct: float, carbohydrate_g_per_100ml: float, protein_g_per_100ml: float) -> float:
    r"""Return the energy of 100 mL of beer in kilocalories.

    .. math:: E = 7 \rho_e a + 4 (c + p)

    Parameters
    ----------
    strength_pct : float
        Strength, a [% vol]
    carbohydrate_g_per_100ml : float
        Carbohydrate, c [g/100 mL]
    protein_g_per_100ml : float
        Protein, p [g/100 mL]

    Returns
    -------
    float
        Energy [kcal/100 mL]

    Raises
    ------
    ValueError
        When the strength is outside 0 to 100 % vol or a content negative.

    Notes
    -----
    Valid for drinks without fat, fibre, acids or polyols to speak of. The kilojoules over 4.184 give up to 1.6 %
    another figure, since the law rounds each factor by itself.

    Examples
    --------
    >>> round(energy_kcal_per_100ml(5.0, 3.2, 0.4))
    42

    References
    ----------
    [REG-1169-XIV] factors.
    """
    _refuse(strength_pct, carbohydrate_g_per_100ml, protein_g_per_100ml)
    alcohol = strength_pct * ETHANOL_DENSITY.value
    solids = KCAL_PER_G["carbohydrate"] * carbohydrate_g_per_100ml + KCAL_PER_G["protein"] * protein_g_per_100ml
    return KCAL_PER_G["alcohol"] * alcohol + solids


def cider_energy_kj_per_100ml(
    strength_pct: float, sugar_g_per_l: float, acid_g_per_l: float, polyols_g_per_l: float
) -> float:
    r"""Return the energy of 100 mL of cider or fruit wine, from an analysis in grams a litre.

    .. math:: E = 29 \rho_e a + \frac{17 s + 13 q + 10 w}{10}

    Parameters
    ----------
    strength_pct : float
        Strength, a [% vol]
    sugar_g_per_l : float
        Sugar, s [g/L]
    acid_g_per_l : float
        Organic acids, q [g/L]
    polyols_g_per_l : float
        Polyols (sorbitol and the like), w [g/L]

    Returns
    -------
    float
        Energy [kJ/100 mL]

    Raises
    ------
    ValueError
        When the strength is outside 0 to 100 % vol or a content negative.

    Notes
    -----
    Valid for drinks without fat, fibre or protein to speak of; glycerol counts with the polyols.

    Examples
    --------
    >>> round(cider_energy_kj_per_100ml(12.0, 3.0, 6.0, 7.0), 1)
    294.5

    References
    ----------
    [REG-1169-XIV] factors.
    """
    _refuse(strength_pct, sugar_g_per_l, acid_g_per_l, polyols_g_per_l)
    solids = (
        KJ_PER_G["carbohydrate"] * sugar_g_per_l
        + KJ_PER_G["acid"] * acid_g_per_l
        + KJ_PER_G["polyols"] * polyols_g_per_l
    )
    return KJ_PER_G["alcohol"] * strength_pct * ETHANOL_DENSITY.value + solids / 10


def _refuse(strength_pct: float, *contents: float) -> None:
    if not 0 <= strength_pct <= 100 or min(contents) < 0:
        raise ValueError("The strength lies between 0 and 100 % vol, and no content is negative.")
