"""Dissolved carbon dioxide."""

import math

from assessments.formulas.constants import CO2_PER_VOLUME, HENRY_OFFSET, HENRY_SLOPE, ZERO_CELSIUS


def co2_g_per_l_from_volumes(volumes_vol: float) -> float:
    r"""Return dissolved CO2 in grams per litre from volumes of gas per volume of drink.

    .. math:: c = 1.96 \, V

    Parameters
    ----------
    volumes_vol : float
        Volumes of gas at 0 degC and 1 atm, V [vol]

    Returns
    -------
    float
        Dissolved CO2, c [g/L]

    Raises
    ------
    ValueError
        Outside 0 to 6 volumes.

    Notes
    -----
    Valid for 0 to 6 volumes referred to 0 degC and 1 atm. A real gas weighs 1.977 g/L there, 0.9 % more than the
    rounded factor; volumes referred to 60 degF weigh 1.868 g/L.

    Examples
    --------
    >>> round(co2_g_per_l_from_volumes(2.6), 2)
    5.1

    References
    ----------
    [PRACTICE] factor 1.96.
    """
    if not 0 <= volumes_vol <= 6:
        raise ValueError("Carbonation must lie between 0 and 6 volumes.")
    return CO2_PER_VOLUME.value * volumes_vol


def dissolved_co2_g_per_l(temp_c: float, gauge_bar: float, atmosphere_bar: float) -> float:
    r"""Return the CO2 in beer at rest under a head of CO2.

    .. math:: c = 10 (p_g + p_{atm}) \, e^{-10.73797 + 2617.25/(t + 273.15)}

    Parameters
    ----------
    temp_c : float
        Temperature of the beer, t [degC]
    gauge_bar : float
        Head pressure on the gauge, p_g [bar]
    atmosphere_bar : float
        Pressure of the air around, p_atm [bar]

    Returns
    -------
    float
        Dissolved CO2, c [g/L]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for beer at -1 to 25 degC and 0 to 6 bar gauge, at rest, with no air in the head space.

    Examples
    --------
    >>> round(dissolved_co2_g_per_l(4.0, 1.0, 1.01325), 2)
    5.52

    References
    ----------
    [MEBAK-CO2] constants from memory; within 3 % of IAPWS water below 20 degC.
    """
    if not -1 <= temp_c <= 25:
        raise ValueError("The temperature must lie between -1 and 25 °C.")
    if not 0 <= gauge_bar <= 6 or not 0.5 <= atmosphere_bar <= 1.1:
        raise ValueError("The gauge must read 0 to 6 bar, and the air pressure lie between 0.5 and 1.1 bar.")
    kelvin = temp_c + ZERO_CELSIUS.value
    return 10 * (gauge_bar + atmosphere_bar) * math.exp(-HENRY_OFFSET.value + HENRY_SLOPE.value / kelvin)
