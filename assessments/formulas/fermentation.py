"""Real extract, attenuation, alcohol from gravities, blending."""

from assessments.formulas.constants import ALCOHOL_PER_GRAVITY, APPARENT_SHARE, ASBC_CORRECTION, ORIGINAL_SHARE


def _check_extracts(original_p: float, apparent_p: float) -> None:
    if not 1 <= original_p <= 30:
        raise ValueError("The original extract must lie between 1 and 30 °P.")
    if not -3 <= apparent_p <= original_p:
        raise ValueError("The apparent extract must lie between -3 °P and the original extract.")


def apparent_attenuation_pct(original_p: float, apparent_p: float) -> float:
    r"""Return the apparent degree of attenuation.

    .. math:: A = 100 \frac{OE - AE}{OE}

    Parameters
    ----------
    original_p : float
        Original extract, OE [degP]
    apparent_p : float
        Apparent extract of the fermenting or finished beer, AE [degP]

    Returns
    -------
    float
        Apparent attenuation, A [%]

    Raises
    ------
    ValueError
        When an extract is outside its range.

    Notes
    -----
    Valid for 1 <= OE <= 30 and -3 <= AE <= OE.

    Examples
    --------
    >>> apparent_attenuation_pct(12.0, 2.4)
    80.0

    References
    ----------
    [ARITHMETIC] definition.
    """
    _check_extracts(original_p, apparent_p)
    return 100 * (original_p - apparent_p) / original_p


def real_extract_p(original_p: float, apparent_p: float) -> float:
    r"""Return the real extract, with the alcohol's lift of the hydrometer taken out.

    .. math:: RE = 0.1808 \, OE + 0.8192 \, AE

    Parameters
    ----------
    original_p : float
        Original extract, OE [degP]
    apparent_p : float
        Apparent extract, AE [degP]

    Returns
    -------
    float
        Real extract, RE [degP]

    Raises
    ------
    ValueError
        When an extract is outside its range.

    Notes
    -----
    Valid for 8 <= OE <= 18 as measured; computed for 1 to 30. Other published quotients
    differ by up to 0.12 degP at 10 to 14 degP, by up to 0.2 degP at 18.

    Examples
    --------
    >>> round(real_extract_p(12.0, 2.5), 2)
    4.22

    References
    ----------
    [BALLING] attenuation quotient.
    """
    _check_extracts(original_p, apparent_p)
    return ORIGINAL_SHARE.value * original_p + APPARENT_SHARE.value * apparent_p


def real_attenuation_pct(original_p: float, real_p: float) -> float:
    r"""Return the real degree of attenuation.

    .. math:: R = 100 \frac{OE - RE}{OE}

    Parameters
    ----------
    original_p : float
        Original extract, OE [degP]
    real_p : float
        Real extract, RE [degP]

    Returns
    -------
    float
        Real attenuation, R [%]

    Raises
    ------
    ValueError
        When an extract is outside its range.

    Notes
    -----
    Valid for 1 <= OE <= 30 and 0 <= RE <= OE; the further correction of some laboratories adds one to two points.

    Examples
    --------
    >>> round(real_attenuation_pct(12.0, 4.2176), 1)
    64.9

    References
    ----------
    [BALLING] definition.
    """
    if not (1 <= original_p <= 30 and 0 <= real_p <= original_p):
        raise ValueError("The original extract must lie between 1 and 30 °P, the real extract between 0 and that.")
    return 100 * (original_p - real_p) / original_p


def corrected_attenuation_pct(original_p: float, real_p: float) -> float:
    r"""Return the real degree of fermentation as a laboratory reports it.

    .. math:: RDF = \frac{100 (OE - RE)}{OE} \cdot \frac{1}{1 - 0.005161 \, RE}

    Parameters
    ----------
    original_p : float
        Original extract, OE [degP]
    real_p : float
        Real extract, RE [degP]

    Returns
    -------
    float
        Real degree of fermentation, RDF [%]

    Raises
    ------
    ValueError
        When an extract is outside its range.

    Notes
    -----
    Valid for 1 <= OE <= 30 and 0 <= RE <= OE. The correction for the mass that left as gas adds one to two
    points in beers of 10 to 16 degP.

    Examples
    --------
    >>> round(corrected_attenuation_pct(12.0, 4.2176), 1)
    66.3

    References
    ----------
    [ASBC-BEER6] formula.
    """
    return real_attenuation_pct(original_p, real_p) / (1 - ASBC_CORRECTION.value * real_p)


def gravity_attenuation_pct(original_sg: float, final_sg: float) -> float:
    r"""Return the apparent attenuation from two gravities.

    .. math:: A = 100 \frac{OG - FG}{OG - 1}

    Parameters
    ----------
    original_sg : float
        Original gravity, OG [1]
    final_sg : float
        Gravity now, FG [1]

    Returns
    -------
    float
        Apparent attenuation, A [%]

    Raises
    ------
    ValueError
        When a gravity is outside its range.

    Notes
    -----
    Valid for 1.020 <= OG <= 1.083 and 0.990 <= FG <= OG. Gravity and extract are not proportional: it reads up to
    1.4 points higher than the attenuation by extract from 8 to 18 degP, measured in
    `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(gravity_attenuation_pct(1.04837, 1.00978), 1)
    79.8

    References
    ----------
    [ARITHMETIC] definition.
    """
    if not 1.02 <= original_sg <= 1.083:
        raise ValueError("The original gravity must lie between 1.020 and 1.083.")
    if not 0.99 <= final_sg <= original_sg:
        raise ValueError("The gravity now must lie between 0.990 and the original gravity.")
    return 100 * (original_sg - final_sg) / (original_sg - 1)


def alcohol_pct_vol(original_sg: float, final_sg: float) -> float:
    r"""Return the alcohol by volume from the gravities before and after fermentation.

    .. math:: ABV = 131.25 (OG - FG)

    Parameters
    ----------
    original_sg : float
        Original gravity, OG [1]
    final_sg : float
        Final gravity, FG [1]

    Returns
    -------
    float
        Alcohol by volume, ABV [% vol]

    Raises
    ------
    ValueError
        When a gravity is outside its range.

    Notes
    -----
    Valid for 1.020 <= OG <= 1.090 and 0.990 <= FG <= OG; a floor estimate, good to about 0.2 % vol for beers of
    ordinary strength. What the label says rests on the laboratory.

    Examples
    --------
    >>> round(alcohol_pct_vol(1.048, 1.010), 2)
    4.99

    References
    ----------
    [PRACTICE] factor 131.25.
    """
    if not 1.02 <= original_sg <= 1.09:
        raise ValueError("The original gravity must lie between 1.020 and 1.090.")
    if not 0.99 <= final_sg <= original_sg:
        raise ValueError("The final gravity must lie between 0.990 and the original gravity.")
    return ALCOHOL_PER_GRAVITY.value * (original_sg - final_sg)


def dilution_water_hl(volume_hl: float, strength_pct: float, target_pct: float) -> float:
    r"""Return the water that brings a beer down to a target strength.

    .. math:: V_w = V \left( \frac{s_1}{s_2} - 1 \right)

    Parameters
    ----------
    volume_hl : float
        Beer before blending, V [hL]
    strength_pct : float
        Its strength, s_1 [% vol]
    target_pct : float
        Strength wanted, s_2 [% vol]

    Returns
    -------
    float
        Water to add, V_w [hL]

    Raises
    ------
    ValueError
        When the target is not below the strength, or one of them is not between 0 and 100.

    Notes
    -----
    Valid for 0 < s_2 <= s_1 <= 100 and volumes taken as additive; contraction on mixing is left out.
    Within 0.1 % of the balance of masses from 5.5 to 8 % vol, measured in `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(dilution_water_hl(100.0, 6.0, 4.8), 6)
    25.0

    References
    ----------
    [MASS-BALANCE] V s_1 = (V + V_w) s_2.
    """
    if volume_hl <= 0 or not 0 < target_pct <= strength_pct <= 100:
        raise ValueError("The target strength must be above 0 and not above the strength of the beer.")
    return volume_hl * (strength_pct / target_pct - 1)
