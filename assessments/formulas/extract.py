"""Extract tables: degrees Plato, specific gravity, density, extract in a volume."""

from assessments.formulas.constants import WATER_DENSITY

#: The refractive index of sugar solutions, for rising powers of °P; see `refractive_index`.
REFRACTION = (1.33299, 0.001424, 0.0000059)
#: The end of the table to which the formulas were fitted.
_STRONGEST_P = 20.0


def _check(extract_p: float) -> None:
    if not 0 <= extract_p <= _STRONGEST_P:
        raise ValueError("The extract must lie between 0 and 20 °P.")


def plato_from_gravity(gravity_sg: float) -> float:
    r"""Return the extract from the specific gravity that a hydrometer shows.

    .. math:: P = 135.997 S^3 - 630.272 S^2 + 1111.14 S - 616.868

    Parameters
    ----------
    gravity_sg : float
        Specific gravity 20/20, S [1]

    Returns
    -------
    float
        Extract, P [degP]

    Raises
    ------
    ValueError
        Outside the range of the fit.

    Notes
    -----
    Valid for 1.000 <= S <= 1.083 at 20 degC. Within 0.005 degP of the table of NBS Circular C440, measured in
    `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(plato_from_gravity(1.06), 2)
    14.74

    References
    ----------
    [ASBC-CUBIC] cubic.
    """
    if not 1.0 <= gravity_sg <= 1.083:
        raise ValueError("The specific gravity must lie between 1.000 and 1.083, where the table was fitted.")
    return 135.997 * gravity_sg**3 - 630.272 * gravity_sg**2 + 1111.14 * gravity_sg - 616.868


def gravity_from_plato(extract_p: float) -> float:
    r"""Return the specific gravity 20/20 of wort from its extract.

    .. math:: S = 1 + \frac{P}{258.6 - 227.1 \, P / 258.2}

    Parameters
    ----------
    extract_p : float
        Extract, P [degP]

    Returns
    -------
    float
        Specific gravity 20/20, S [1]

    Raises
    ------
    ValueError
        Outside the range of the table.

    Notes
    -----
    Valid for 0 <= P <= 20. Within 0.00002 of the cubic fits to the tables of NBS Circular C440 and of the ASBC,
    measured in `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(gravity_from_plato(12.0), 5)
    1.04838

    References
    ----------
    [PLATO-FORM] formula.
    [NBS-C440] the table.
    """
    _check(extract_p)
    return 1 + extract_p / (258.6 - 227.1 * extract_p / 258.2)


def wort_density_kg_per_m3(extract_p: float) -> float:
    r"""Return the density of wort at 20 degC from its extract.

    .. math:: \rho = 998.2 \, S(P)

    Parameters
    ----------
    extract_p : float
        Extract, P [degP]

    Returns
    -------
    float
        Density at 20 degC, rho [kg/m3]

    Raises
    ------
    ValueError
        Outside the range of the table.

    Notes
    -----
    Valid for 0 <= P <= 20 at 20 degC. Within 0.05 kg/m3 of the model of Laliberte and Cooper for sucrose, measured
    in `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(wort_density_kg_per_m3(12.0), 1)
    1046.5

    References
    ----------
    [PLATO-FORM] gravity.
    [OIML-R22] density of water.
    """
    return 1000 * WATER_DENSITY.value * gravity_from_plato(extract_p)


def extract_kg_per_hl(extract_p: float) -> float:
    r"""Return the extract in a hectolitre of wort at 20 degC.

    .. math:: E = 0.9982 \, S(P) \, P

    Parameters
    ----------
    extract_p : float
        Extract, P [degP]

    Returns
    -------
    float
        Extract, E [kg/hL]

    Raises
    ------
    ValueError
        Outside the range of the table.

    Notes
    -----
    Valid for 0 <= P <= 20 at 20 degC. P kilograms of extract are in 100 kg of wort, not in 100 L.

    Examples
    --------
    >>> round(extract_kg_per_hl(12.0), 2)
    12.56

    References
    ----------
    [MASS-BALANCE] 100 L weigh 99.82 S kilograms.
    [PLATO-FORM] gravity.
    """
    return WATER_DENSITY.value * gravity_from_plato(extract_p) * extract_p


def extract_lb_per_barrel(extract_p: float) -> float:
    r"""Return the extract in a US beer barrel of wort.

    .. math:: E = (259 + P) \frac{P}{100}

    Parameters
    ----------
    extract_p : float
        Extract, P [degP]

    Returns
    -------
    float
        Extract [lb/US bbl]

    Raises
    ------
    ValueError
        Outside the range of the table.

    Notes
    -----
    Valid for 0 <= P <= 20. A barrel of water weighs about 259 lb. Within 0.3 % of the mass balance, measured in
    `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(extract_lb_per_barrel(12.0), 2)
    32.52

    References
    ----------
    [BARREL-FORM] formula.
    """
    _check(extract_p)
    return (259 + extract_p) * extract_p / 100


def refractive_index(extract_p: float) -> float:
    r"""Return the refractive index of a sugar solution at 20 degC.

    .. math:: n = 1.33299 + 0.001424 P + 0.0000059 P^2

    Parameters
    ----------
    extract_p : float
        Sugar, P [degP]

    Returns
    -------
    float
        Refractive index for yellow light (589 nm), n [1]

    Raises
    ------
    ValueError
        Outside the range of the table.

    Notes
    -----
    Valid for 0 <= P <= 20 at 20 degC. A quadratic fitted here to the table of ICUMSA, within 0.00002 of it, measured
    in `tests/outside/wort_approximations.py`. Alcohol bends light too, so a fermenting beer needs another method.

    Examples
    --------
    >>> round(refractive_index(12.0), 5)
    1.35093

    References
    ----------
    [ICUMSA-1974] table; the quadratic is fitted here.
    """
    _check(extract_p)
    return REFRACTION[0] + REFRACTION[1] * extract_p + REFRACTION[2] * extract_p**2
