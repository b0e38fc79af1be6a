"""Pressure: change of unit, gauge and absolute."""

from assessments.formulas.constants import KPA_PER_BAR, PSI_PER_BAR


def _check_air(atmosphere_bar: float) -> None:
    if not 0.5 <= atmosphere_bar <= 1.1:
        raise ValueError("The pressure of the air must lie between 0.5 and 1.1 bar.")


def bar_from_psi(pressure_psi: float) -> float:
    r"""Return a pressure in bar from pounds per square inch, both gauge or both absolute.

    .. math:: p = \frac{p_{psi}}{14.5038}

    Parameters
    ----------
    pressure_psi : float
        Pressure [psi]

    Returns
    -------
    float
        The same pressure [bar]

    Raises
    ------
    ValueError
        Below a full vacuum as a gauge would read it.

    Notes
    -----
    Valid for -14.7 psi and up. The datum does not change: gauge stays gauge, absolute stays absolute.

    Examples
    --------
    >>> round(bar_from_psi(12.5), 2)
    0.86

    References
    ----------
    [SP811] 1 psi = 6.894757 kPa.
    """
    if pressure_psi < -14.7:
        raise ValueError("A gauge cannot read below a full vacuum, -14.7 psi.")
    return pressure_psi / PSI_PER_BAR.value


def psi_from_bar(pressure_bar: float) -> float:
    r"""Return a pressure in pounds per square inch from bar, both gauge or both absolute.

    .. math:: p_{psi} = 14.5038 \, p

    Parameters
    ----------
    pressure_bar : float
        Pressure, p [bar]

    Returns
    -------
    float
        The same pressure [psi]

    Raises
    ------
    ValueError
        Below a full vacuum as a gauge would read it.

    Notes
    -----
    Valid for -1.02 bar and up. The datum does not change: gauge stays gauge, absolute stays absolute.

    Examples
    --------
    >>> round(psi_from_bar(1.0), 4)
    14.5038

    References
    ----------
    [SP811] 1 psi = 6.894757 kPa.
    """
    if pressure_bar < -1.02:
        raise ValueError("A gauge cannot read below a full vacuum, -1.01 bar.")
    return PSI_PER_BAR.value * pressure_bar


def absolute_pressure_kpa(gauge_bar: float, atmosphere_bar: float) -> float:
    r"""Return the absolute pressure in kilopascal from a gauge reading in bar.

    .. math:: p_{abs} = 100 (p_g + p_{atm})

    Parameters
    ----------
    gauge_bar : float
        Reading of the gauge, p_g [bar]
    atmosphere_bar : float
        Pressure of the air around, p_atm [bar]

    Returns
    -------
    float
        Absolute pressure [kPa]

    Raises
    ------
    ValueError
        When the air pressure is not one found on land, or the result would be below zero.

    Notes
    -----
    Valid for atmospheres of 0.5 to 1.1 bar and gauge readings down to a full vacuum.

    Examples
    --------
    >>> round(absolute_pressure_kpa(1.2, 1.01325), 3)
    221.325

    References
    ----------
    [SI] 1 bar = 100 kPa, exact.
    """
    _check_air(atmosphere_bar)
    if gauge_bar + atmosphere_bar < 0:
        raise ValueError("The absolute pressure cannot be below zero.")
    return KPA_PER_BAR.value * (gauge_bar + atmosphere_bar)


def absolute_bar_from_psi(gauge_psi: float, atmosphere_bar: float) -> float:
    r"""Return the absolute pressure in bar from a gauge reading in pounds per square inch.

    .. math:: p_{abs} = \frac{p_{psi}}{14.5038} + p_{atm}

    Parameters
    ----------
    gauge_psi : float
        Reading of the gauge, p_psi [psi]
    atmosphere_bar : float
        Pressure of the air around, p_atm [bar]

    Returns
    -------
    float
        Absolute pressure [bar]

    Raises
    ------
    ValueError
        When the air pressure is not one found on land, or the result would be below zero.

    Notes
    -----
    Valid for atmospheres of 0.5 to 1.1 bar and gauge readings down to a full vacuum.

    Examples
    --------
    >>> round(absolute_bar_from_psi(12.0, 1.01325), 4)
    1.8406

    References
    ----------
    [SP811] 1 psi = 6.894757 kPa.
    """
    _check_air(atmosphere_bar)
    absolute = gauge_psi / PSI_PER_BAR.value + atmosphere_bar
    if absolute < 0:
        raise ValueError("The absolute pressure cannot be below zero.")
    return absolute


def gauge_bar_from_kpa(absolute_kpa: float, atmosphere_bar: float) -> float:
    r"""Return what a gauge in bar reads at an absolute pressure in kilopascal.

    .. math:: p_g = \frac{p_{abs}}{100} - p_{atm}

    Parameters
    ----------
    absolute_kpa : float
        Absolute pressure, p_abs [kPa]
    atmosphere_bar : float
        Pressure of the air around, p_atm [bar]

    Returns
    -------
    float
        Gauge pressure, p_g [bar]

    Raises
    ------
    ValueError
        When the air pressure is not one found on land, or the absolute pressure is below zero.

    Notes
    -----
    Valid for atmospheres of 0.5 to 1.1 bar. Below the pressure of the air a gauge reads a vacuum, less than zero.

    Examples
    --------
    >>> round(gauge_bar_from_kpa(250.0, 1.01325), 5)
    1.48675

    References
    ----------
    [SI] 1 bar = 100 kPa, exact.
    """
    _check_air(atmosphere_bar)
    if absolute_kpa < 0:
        raise ValueError("The absolute pressure cannot be below zero.")
    return absolute_kpa / KPA_PER_BAR.value - atmosphere_bar
