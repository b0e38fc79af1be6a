"""Filter aid: precoat, body feed, and how thick a coat lies."""


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


def two_coats_mass_kg(area_m2: float, first_g_per_m2: float, second_g_per_m2: float) -> float:
    r"""Return the filter aid for a precoat laid in two coats.

    .. math:: m = \frac{A (d_1 + d_2)}{1000}

    Parameters
    ----------
    area_m2 : float
        Filter area, A [m2]
    first_g_per_m2 : float
        First, coarse coat, d_1 [g/m2]
    second_g_per_m2 : float
        Second, finer coat, d_2 [g/m2]

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
    Valid for areas above 0 and coats of 100 to 2000 g/m2 each.

    Examples
    --------
    >>> two_coats_mass_kg(25.0, 700.0, 500.0)
    30.0

    References
    ----------
    [ARITHMETIC] area times the sum of the coats.
    [PRACTICE] the doses.
    """
    return precoat_mass_kg(area_m2, first_g_per_m2) + precoat_mass_kg(area_m2, second_g_per_m2)


def coat_thickness_mm(dose_g_per_m2: float, bulk_kg_per_m3: float) -> float:
    r"""Return how thick a coat of filter aid lies.

    .. math:: h = \frac{d}{\rho_b}

    Parameters
    ----------
    dose_g_per_m2 : float
        Precoat per area, d [g/m2]
    bulk_kg_per_m3 : float
        Bulk density of the aid, rho_b [kg/m3]

    Returns
    -------
    float
        Thickness of the coat, h [mm]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for coats of 100 to 2000 g/m2 and bulk densities of 100 to 600 kg/m3. Grams per square metre over kilograms
    per cubic metre are millimetres.

    Examples
    --------
    >>> round(coat_thickness_mm(800.0, 300.0), 2)
    2.67

    References
    ----------
    [GEOMETRY] mass per area over mass per volume.
    [COAT-DENSITY] usual bulk densities.
    """
    if not 100 <= dose_g_per_m2 <= 2000 or not 100 <= bulk_kg_per_m3 <= 600:
        raise ValueError("The coat must lie between 100 and 2000 g/m², the bulk density between 100 and 600 kg/m³.")
    return dose_g_per_m2 / bulk_kg_per_m3
