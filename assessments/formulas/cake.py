"""Filtration through a cake at constant pressure: t/V = a V + b."""


def cake_time_s(volume_l: float, slope_s_per_l2: float, intercept_s_per_l: float) -> float:
    r"""Return the time that a volume takes through a growing cake at constant pressure.

    .. math:: t = a V^2 + b V

    Parameters
    ----------
    volume_l : float
        Filtrate, V [L]
    slope_s_per_l2 : float
        Slope of t/V against V, a [s/L2]
    intercept_s_per_l : float
        t/V at the very start, b [s/L]

    Returns
    -------
    float
        Time, t [s]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for volumes above 0, slopes from 0 and intercepts from 0, at constant pressure and with a cake that does not
    give way. It gives the six times of the published trial to within 0.5 s.

    Examples
    --------
    >>> round(cake_time_s(3.0, 13.0, 28.2), 1)
    201.6

    References
    ----------
    [RUTH] integrated at constant pressure.
    """
    if volume_l <= 0 or slope_s_per_l2 < 0 or intercept_s_per_l < 0:
        raise ValueError("The volume must be above 0 L, slope and intercept not below 0.")
    return slope_s_per_l2 * volume_l**2 + intercept_s_per_l * volume_l


def cake_resistance_m_per_kg(
    slope_s_per_l2: float, area_m2: float, pressure_bar: float, solids_g_per_l: float, viscosity_mpa_s: float
) -> float:
    r"""Return the specific resistance of a filter cake from a trial at constant pressure.

    .. math:: \alpha = \frac{2 a A^2 \Delta p}{\mu c_s}

    Parameters
    ----------
    slope_s_per_l2 : float
        Slope of t/V against V, a [s/L2]
    area_m2 : float
        Filter area, A [m2]
    pressure_bar : float
        Pressure across the filter, Delta p [bar]
    solids_g_per_l : float
        Solids in the liquid, c_s [g/L]
    viscosity_mpa_s : float
        Viscosity of the filtrate, mu [mPa s]

    Returns
    -------
    float
        Specific resistance of the cake, alpha [m/kg]

    Raises
    ------
    ValueError
        When an input is not above 0.

    Notes
    -----
    Valid for inputs above 0, at constant pressure and with a cake that does not give way. In metres, kilograms,
    seconds and pascals: 1 s/L2 is 10^6 s/m6, 1 bar 10^5 Pa, 1 mPa s 10^-3 Pa s, 1 g/L is 1 kg/m3.

    Examples
    --------
    >>> round(cake_resistance_m_per_kg(13.0, 0.0439, 0.462, 23.47, 0.8937) / 1e9)
    110

    References
    ----------
    [RUTH] slope of the line.
    """
    if min(slope_s_per_l2, area_m2, pressure_bar, solids_g_per_l, viscosity_mpa_s) <= 0:
        raise ValueError("Slope, area, pressure, solids and viscosity must all be above 0.")
    slope, pressure, viscosity = slope_s_per_l2 * 1e6, pressure_bar * 1e5, viscosity_mpa_s / 1000
    return 2 * slope * area_m2**2 * pressure / (viscosity * solids_g_per_l)


def medium_resistance_per_m(
    intercept_s_per_l: float, area_m2: float, pressure_bar: float, viscosity_mpa_s: float
) -> float:
    r"""Return the resistance of the filter medium from a trial at constant pressure.

    .. math:: R_m = \frac{b A \Delta p}{\mu}

    Parameters
    ----------
    intercept_s_per_l : float
        t/V at the very start, b [s/L]
    area_m2 : float
        Filter area, A [m2]
    pressure_bar : float
        Pressure across the filter, Delta p [bar]
    viscosity_mpa_s : float
        Viscosity of the filtrate, mu [mPa s]

    Returns
    -------
    float
        Resistance of the medium, R_m [1/m]

    Raises
    ------
    ValueError
        When an input is not above 0.

    Notes
    -----
    Valid for inputs above 0, at constant pressure. 1 s/L is 1000 s/m3, 1 bar 10^5 Pa, 1 mPa s 10^-3 Pa s.

    Examples
    --------
    >>> round(medium_resistance_per_m(28.2, 0.0439, 0.462, 0.8937) / 1e8)
    640

    References
    ----------
    [RUTH] the line where the volume is 0.
    """
    if min(intercept_s_per_l, area_m2, pressure_bar, viscosity_mpa_s) <= 0:
        raise ValueError("Intercept, area, pressure and viscosity must all be above 0.")
    return intercept_s_per_l * 1000 * area_m2 * pressure_bar * 1e5 / (viscosity_mpa_s / 1000)
