"""Filter aid: precoat and body feed."""


def precoat_mass_kg(area_m2: float, dose_g_per_m2: float) -> float:
    r"""Return the filter aid for one precoat.

    .. math:: m = \frac{A d}{1000}

    Parameters
    ----------
    area_m2 : float
        Filter area, A [m2]
    dose_g_per_m2 : float
        Precoat per area, d [g/m2]

    Returns
    -------
    float
        Filter aid, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for areas above 0 and doses of 100 to 2000 g/m2. Usual: 500 to 1200 g/m2 in one or two coats.

    Examples
    --------
    >>> precoat_mass_kg(30.0, 900.0)
    27.0

    References
    ----------
    [ARITHMETIC] area times dose.
    [PRACTICE] the doses.
    """
    if area_m2 <= 0 or not 100 <= dose_g_per_m2 <= 2000:
        raise ValueError("The area must be above 0 m² and the dose between 100 and 2000 g/m².")
    return area_m2 * dose_g_per_m2 / 1000


def body_feed_mass_kg(volume_hl: float, dose_g_per_hl: float) -> float:
    r"""Return the filter aid fed with the beer over a run.

    .. math:: m = \frac{V d}{1000}

    Parameters
    ----------
    volume_hl : float
        Beer to filter, V [hL]
    dose_g_per_hl : float
        Body feed per volume, d [g/hL]

    Returns
    -------
    float
        Filter aid, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for volumes above 0 and doses of 10 to 500 g/hL. Usual: 50 to 200 g/hL.

    Examples
    --------
    >>> body_feed_mass_kg(600.0, 120.0)
    72.0

    References
    ----------
    [ARITHMETIC] volume times dose.
    [PRACTICE] the doses.
    """
    if volume_hl <= 0 or not 10 <= dose_g_per_hl <= 500:
        raise ValueError("The volume must be above 0 hL and the dose between 10 and 500 g/hL.")
    return volume_hl * dose_g_per_hl / 1000
