"""Malt: what the laboratory finds in it, and the wort that it makes."""


def _check_mash(mass_kg: float, gravity_sg: float) -> None:
    if mass_kg <= 0:
        raise ValueError("The malt must weigh more than 0 kg.")
    if not 1 < gravity_sg <= 1.15:
        raise ValueError("The specific gravity of the wort must lie between 1.000 and 1.150.")


def _check_malt(extract_pct: float, moisture_pct: float) -> None:
    if not 0 <= extract_pct <= 100:
        raise ValueError("The extract must lie between 0 and 100 %.")
    if not 0 <= moisture_pct <= 20:
        raise ValueError("The moisture of the malt must lie between 0 and 20 %.")


def hot_water_extract_l_deg_per_kg(volume_l: float, gravity_sg: float, mass_kg: float) -> float:
    r"""Return the extract of malt in litre degrees per kilogram.

    .. math:: HWE = \frac{V \cdot 1000 (S - 1)}{m}

    Parameters
    ----------
    volume_l : float
        Wort, V [L]
    gravity_sg : float
        Its specific gravity at 20 degC, S [1]
    mass_kg : float
        Malt, m [kg]

    Returns
    -------
    float
        Extract [L deg/kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 1 < S <= 1.15 at 20 degC. A degree is a thousandth of specific gravity above that of water.

    Examples
    --------
    >>> round(hot_water_extract_l_deg_per_kg(500.0, 1.056, 100.0), 6)
    280.0

    References
    ----------
    [LITRE-DEGREES] definition and example.
    """
    _check_mash(mass_kg, gravity_sg)
    if volume_l <= 0:
        raise ValueError("There must be more than 0 L of wort.")
    return volume_l * 1000 * (gravity_sg - 1) / mass_kg


def wort_volume_l(extract_l_deg_per_kg: float, mass_kg: float, gravity_sg: float) -> float:
    r"""Return the wort of a wanted gravity that malt of known extract makes.

    .. math:: V = \frac{HWE \, m}{1000 (S - 1)}

    Parameters
    ----------
    extract_l_deg_per_kg : float
        Extract of the malt, HWE [L deg/kg]
    mass_kg : float
        Malt, m [kg]
    gravity_sg : float
        Specific gravity wanted, S [1]

    Returns
    -------
    float
        Wort, V [L]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 1 < S <= 1.15 and extracts of 50 to 400 L deg/kg, when the brewhouse wins all that the laboratory found.

    Examples
    --------
    >>> round(wort_volume_l(300.0, 1.0, 1.03), 6)
    10.0

    References
    ----------
    [LITRE-DEGREES] definition and examples.
    """
    _check_mash(mass_kg, gravity_sg)
    if not 50 <= extract_l_deg_per_kg <= 400:
        raise ValueError("The extract of malt must lie between 50 and 400 litre degrees per kilogram.")
    return extract_l_deg_per_kg * mass_kg / (1000 * (gravity_sg - 1))


def congress_extract_pct(wort_p: float, moisture_pct: float) -> float:
    r"""Return the extract of malt as it is, from the wort of the Congress mash.

    .. math:: E = \frac{P (M + 800)}{100 - P}

    Parameters
    ----------
    wort_p : float
        Extract of the laboratory wort, P [degP]
    moisture_pct : float
        Moisture of the malt, M [% w/w]

    Returns
    -------
    float
        Extract of the malt as it is, E [% w/w]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 50 g of malt made up to 450 g, 0 < P < 12 and 0 <= M <= 20. For 100 g of malt the wort holds 800 g of
    water from the tap and M from the malt.

    Examples
    --------
    >>> round(congress_extract_pct(8.6, 4.5), 1)
    75.7

    References
    ----------
    [EBC-4.5.1] formula.
    [MASS-BALANCE] P = 100 E/(E + M + 800).
    """
    if not 0 < wort_p < 12:
        raise ValueError("The extract of the laboratory wort must lie between 0 and 12 °P.")
    _check_malt(0, moisture_pct)
    return wort_p * (moisture_pct + 800) / (100 - wort_p)


def dry_extract_pct(extract_pct: float, moisture_pct: float) -> float:
    r"""Return the extract of malt on the dry basis.

    .. math:: E_d = \frac{100 E}{100 - M}

    Parameters
    ----------
    extract_pct : float
        Extract of the malt as it is, E [% w/w]
    moisture_pct : float
        Moisture of the malt, M [% w/w]

    Returns
    -------
    float
        Extract of the dry matter, E_d [% w/w]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= E <= 100 and 0 <= M <= 20.

    Examples
    --------
    >>> round(dry_extract_pct(75.7, 4.5), 2)
    79.27

    References
    ----------
    [MASS-BALANCE] 100 g of malt hold 100 - M grams of dry matter.
    """
    _check_malt(extract_pct, moisture_pct)
    return 100 * extract_pct / (100 - moisture_pct)
