"""Change of units: temperature, temperature difference and volume."""

from assessments.formulas.constants import (
    FAHRENHEIT_AT_FREEZING,
    FAHRENHEIT_PER_CELSIUS,
    LITRES_PER_HECTOLITRE,
    LITRES_PER_US_GALLON,
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


def fahrenheit_from_celsius(temp_c: float) -> float:
    r"""Return a temperature in degrees Fahrenheit from degrees Celsius.

    .. math:: F = 1.8 \, t + 32

    Parameters
    ----------
    temp_c : float
        Temperature, t [degC]

    Returns
    -------
    float
        Temperature, F [degF]

    Raises
    ------
    ValueError
        Below absolute zero.

    Notes
    -----
    Valid for any temperature not below -273.15 degC.

    Examples
    --------
    >>> fahrenheit_from_celsius(-40.0)
    -40.0

    References
    ----------
    [SP811] exact by definition.
    """
    if temp_c < -ZERO_CELSIUS.value:
        raise ValueError("A temperature cannot be below absolute zero, -273.15 °C.")
    return FAHRENHEIT_PER_CELSIUS.value * temp_c + FAHRENHEIT_AT_FREEZING.value


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
