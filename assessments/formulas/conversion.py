"""Change of units: temperature, temperature difference, pressure and volume."""

from assessments.formulas.constants import (
    FAHRENHEIT_AT_FREEZING,
    FAHRENHEIT_PER_CELSIUS,
    KPA_PER_BAR,
    LITRES_PER_HECTOLITRE,
    LITRES_PER_US_GALLON,
    PSI_PER_BAR,
    ZERO_CELSIUS,
)


def celsius_from_fahrenheit(temp_f: float) -> float:
    r"""Return a temperature in degrees Celsius from degrees Fahrenheit.

    .. math:: t = \frac{F - 32}{1.8}

    Parameters
    ----------
    temp_f : float
        Temperature, F [degF]

    Returns
    -------
    float
        Temperature, t [degC]

    Raises
    ------
    ValueError
        Below absolute zero.

    Notes
    -----
    Valid for any temperature not below -459.67 degF.

    Examples
    --------
    >>> celsius_from_fahrenheit(-40.0)
    -40.0

    References
    ----------
    [SP811] exact by definition.
    """
    temp_c = (temp_f - FAHRENHEIT_AT_FREEZING.value) / FAHRENHEIT_PER_CELSIUS.value
    if temp_c < -ZERO_CELSIUS.value:
        raise ValueError("A temperature cannot be below absolute zero, -459.67 °F.")
    return temp_c


def fahrenheit_difference(difference_c: float) -> float:
    r"""Return a temperature difference in degrees Fahrenheit from one in degrees Celsius.

    .. math:: \Delta F = 1.8 \, \Delta t

    Parameters
    ----------
    difference_c : float
        Difference of two temperatures [degC]

    Returns
    -------
    float
        The same difference [degF]

    Raises
    ------
    ValueError
        For a difference larger than 1000 degC.

    Notes
    -----
    Valid for differences, never for the temperatures themselves: the 32 cancels out. Up to 1000 degC.

    Examples
    --------
    >>> fahrenheit_difference(5.0)
    9.0

    References
    ----------
    [SP811] exact by definition.
    """
    if abs(difference_c) > 1000:
        raise ValueError("A difference of more than 1000 °C does not occur in a drinks plant.")
    return FAHRENHEIT_PER_CELSIUS.value * difference_c


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
    if not 0.5 <= atmosphere_bar <= 1.1:
        raise ValueError("The pressure of the air must lie between 0.5 and 1.1 bar.")
    if gauge_bar + atmosphere_bar < 0:
        raise ValueError("The absolute pressure cannot be below zero.")
    return KPA_PER_BAR.value * (gauge_bar + atmosphere_bar)


def hectolitres_from_us_gallons(volume_gal: float) -> float:
    r"""Return a volume in hectolitres from US liquid gallons.

    .. math:: V = \frac{3.785412 \, V_{gal}}{100}

    Parameters
    ----------
    volume_gal : float
        Volume, V_gal [US gal]

    Returns
    -------
    float
        The same volume, V [hL]

    Raises
    ------
    ValueError
        For a negative volume.

    Notes
    -----
    Valid for volumes of 0 and up, in US liquid gallons; an imperial gallon holds 4.54609 L.

    Examples
    --------
    >>> round(hectolitres_from_us_gallons(31.0), 6)
    1.173478

    References
    ----------
    [SP811] 231 cubic inches.
    """
    if volume_gal < 0:
        raise ValueError("A volume cannot be negative.")
    return volume_gal * LITRES_PER_US_GALLON.value / LITRES_PER_HECTOLITRE.value
