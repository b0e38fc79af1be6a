"""Yield of the brewhouse: extract won, efficiency, and the grist for a brew."""

from assessments.formulas.constants import HOT_WORT_FACTOR, LITRES_PER_HECTOLITRE, WATER_DENSITY


def _check_wort(volume_hl: float, extract_p: float, gravity_sg: float) -> None:
    if volume_hl <= 0 or not 0 < extract_p <= 35:
        raise ValueError("The wort must be above 0 hL, its extract between 0 and 35 °P.")
    if not 1 < gravity_sg <= 1.16:
        raise ValueError("The specific gravity of the wort must lie between 1.000 and 1.160.")


def _check_grist(grist_kg: float) -> None:
    if grist_kg <= 0:
        raise ValueError("The grist must weigh more than 0 kg.")


def _check_potential(potential_pct: float) -> None:
    if not 40 <= potential_pct <= 100:
        raise ValueError("The laboratory extract must lie between 40 and 100 %.")


def extract_won_kg(volume_hl: float, extract_p: float, gravity_sg: float) -> float:
    r"""Return the extract in a volume of cold wort.

    .. math:: m_E = 100 V \cdot 0.9982 S \cdot \frac{P}{100}

    Parameters
    ----------
    volume_hl : float
        Cold wort, V [hL]
    extract_p : float
        Its extract, P [degP]
    gravity_sg : float
        Its specific gravity 20/20, S [1]

    Returns
    -------
    float
        Extract, m_E [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for wort at 20 degC, 0 < P <= 35 and 1 < S <= 1.16.

    Examples
    --------
    >>> round(extract_won_kg(95.0, 12.0, 1.04837))
    1193

    References
    ----------
    [MASS-BALANCE] volume to mass by the density.
    [OIML-R22] density of water.
    """
    _check_wort(volume_hl, extract_p, gravity_sg)
    mass_kg = LITRES_PER_HECTOLITRE.value * volume_hl * WATER_DENSITY.value * gravity_sg
    return mass_kg * extract_p / 100


def brewhouse_yield_pct(volume_hl: float, extract_p: float, gravity_sg: float, grist_kg: float) -> float:
    r"""Return the brewhouse yield from the hot wort in the kettle.

    .. math:: Y = 100 \frac{0.96 \, V S P}{m}

    Parameters
    ----------
    volume_hl : float
        Hot wort when boiling ends, V [hL]
    extract_p : float
        Its extract, P [degP]
    gravity_sg : float
        Its specific gravity 20/20, S [1]
    grist_kg : float
        Grist, m [kg]

    Returns
    -------
    float
        Yield of the grist, Y [%]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 < P <= 35 and 1 < S <= 1.16. The factor 0.96 brings hot wort to 20 degC and takes out the trub; cold
    wort needs none.

    Examples
    --------
    >>> round(brewhouse_yield_pct(100.0, 12.0, 1.0484, 1600.0), 1)
    75.5

    References
    ----------
    [KUNZE] formula.
    """
    _check_wort(volume_hl, extract_p, gravity_sg)
    _check_grist(grist_kg)
    return 100 * HOT_WORT_FACTOR.value * volume_hl * gravity_sg * extract_p / grist_kg


def extract_efficiency_pct(won_kg: float, grist_kg: float, potential_pct: float) -> float:
    r"""Return how much of the extract that the laboratory found has been won.

    .. math:: \eta = 100 \frac{m_E}{m \, e / 100}

    Parameters
    ----------
    won_kg : float
        Extract won, m_E [kg]
    grist_kg : float
        Grist, m [kg]
    potential_pct : float
        Laboratory extract of the grist as it is, e [% w/w]

    Returns
    -------
    float
        Efficiency [%]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 40 <= e <= 100. More than 100 % points to a wrong reading.

    Examples
    --------
    >>> round(extract_efficiency_pct(1193.0, 1600.0, 80.0), 1)
    93.2

    References
    ----------
    [MASS-BALANCE] won over available.
    """
    _check_grist(grist_kg)
    _check_potential(potential_pct)
    if won_kg < 0:
        raise ValueError("The extract won cannot be negative.")
    return 100 * won_kg / (grist_kg * potential_pct / 100)


def grist_mass_kg(
    volume_hl: float, extract_p: float, gravity_sg: float, efficiency_pct: float, potential_pct: float
) -> float:
    r"""Return the grist for a brew.

    .. math:: m = \frac{V \cdot 0.9982 S P}{(\eta / 100)(e / 100)}

    Parameters
    ----------
    volume_hl : float
        Cold wort wanted, V [hL]
    extract_p : float
        Extract wanted, P [degP]
    gravity_sg : float
        Specific gravity that belongs to it, S [1]
    efficiency_pct : float
        Efficiency of the brewhouse [%]
    potential_pct : float
        Laboratory extract of the grist as it is, e [% w/w]

    Returns
    -------
    float
        Grist, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for efficiencies of 50 to 105 % and 40 <= e <= 100. Published notes that count hL times degP as kilograms
    come out 4 to 5 % low at 11 to 12 degP.

    Examples
    --------
    >>> round(grist_mass_kg(25.0, 11.5, 1.04629, 98.0, 78.0), 1)
    392.8

    References
    ----------
    [MASS-BALANCE] extract wanted over extract won from each kilogram.
    [GRIST-NOTE] the same without the density.
    """
    _check_potential(potential_pct)
    if not 50 <= efficiency_pct <= 105:
        raise ValueError("The efficiency must lie between 50 and 105 %.")
    wanted_kg = extract_won_kg(volume_hl, extract_p, gravity_sg)
    return wanted_kg / (efficiency_pct / 100 * potential_pct / 100)
