"""Dissolved carbon dioxide."""

import math

from assessments.formulas.constants import CO2_DENSITY, CO2_PER_VOLUME, HENRY_OFFSET, HENRY_SLOPE, ZERO_CELSIUS

FIT = "fit to package"
TOO_LITTLE = "too little CO2"
TOO_MUCH = "too much CO2"


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
    Valid for beer at -1 to 25 degC and 0 to 6 bar gauge, at rest, with no air in the head space. From 1.1 to 25 degC
    and up to 3 bar gauge it lies 1.3 to 4.5 % below CO2 in water by IAPWS G7-04, and below 2.5 % up to 16 degC.

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


def co2_volumes_from_g_per_l(dissolved_g_per_l: float) -> float:
    r"""Return volumes of gas per volume of drink from dissolved CO2 in grams per litre.

    .. math:: V = \frac{c}{1.977}

    Parameters
    ----------
    dissolved_g_per_l : float
        Dissolved CO2, c [g/L]

    Returns
    -------
    float
        Volumes of gas at 0 degC and 1 atm, V [vol]

    Raises
    ------
    ValueError
        Outside 0 to 12 g/L.

    Notes
    -----
    Valid for 0 to 12 g/L, in volumes referred to 0 degC and 1 atm. The weight of the real gas is taken; the rounded
    1.96 g/L gives 0.9 % more, the 1.868 g/L of a volume at 60 degF 5.8 % more.

    Examples
    --------
    >>> round(co2_volumes_from_g_per_l(5.2), 2)
    2.63

    References
    ----------
    [REAL-GAS] density of the gas.
    """
    if not 0 <= dissolved_g_per_l <= 12:
        raise ValueError("Dissolved CO2 must lie between 0 and 12 g/L.")
    return dissolved_g_per_l / CO2_DENSITY.value


def co2_g_per_l_from_weight(strength_pct: float, density_kg_per_l: float) -> float:
    r"""Return dissolved CO2 in grams per litre from its share by weight.

    .. math:: c = 10 \, w \rho

    Parameters
    ----------
    strength_pct : float
        CO2 by weight, w [% w/w]
    density_kg_per_l : float
        Density of the beer, rho [kg/L]

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
    Valid for 0 to 1.2 % by weight and densities of 0.98 to 1.1 kg/L.

    Examples
    --------
    >>> round(co2_g_per_l_from_weight(0.5, 1.008), 2)
    5.04

    References
    ----------
    [MASS-BALANCE] grams in a litre of beer.
    """
    if not 0 <= strength_pct <= 1.2 or not 0.98 <= density_kg_per_l <= 1.1:
        raise ValueError("CO2 must lie between 0 and 1.2 % by weight, the density between 0.98 and 1.1 kg/L.")
    return 10 * strength_pct * density_kg_per_l


def co2_to_add_kg(volume_hl: float, present_g_per_l: float, target_g_per_l: float, uptake_pct: float) -> float:
    r"""Return the CO2 to feed so that a tank of beer reaches a target.

    .. math:: m = \frac{100 V (c_t - c_0)}{1000 \, (u/100)}

    Parameters
    ----------
    volume_hl : float
        Beer in the tank, V [hL]
    present_g_per_l : float
        CO2 in the beer now, c_0 [g/L]
    target_g_per_l : float
        CO2 wanted, c_t [g/L]
    uptake_pct : float
        Share of the gas fed that stays in the beer, u [%]

    Returns
    -------
    float
        CO2 to feed, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range, or the target below what the beer holds.

    Notes
    -----
    Valid for 0 <= c_0 <= c_t <= 12 g/L and an uptake of 50 to 100 %. The uptake is the plant's own experience.

    Examples
    --------
    >>> round(co2_to_add_kg(250.0, 3.8, 5.2, 90.0), 1)
    38.9

    References
    ----------
    [MASS-BALANCE] CO2 wanted less CO2 present.
    [PRACTICE] the uptake.
    """
    if volume_hl <= 0 or not 0 <= present_g_per_l <= target_g_per_l <= 12:
        raise ValueError("The volume must be above 0 hL, and the target from what the beer holds to 12 g/L.")
    if not 50 <= uptake_pct <= 100:
        raise ValueError("The uptake must lie between 50 and 100 %.")
    return 100 * volume_hl * (target_g_per_l - present_g_per_l) / (1000 * (uptake_pct / 100))


def carbonation_verdict(measured_g_per_l: float, target_vol: float, allowance_vol: float) -> str:
    r"""Return whether beer holds the CO2 that its package asks for.

    .. math:: V_t - a \le \frac{c}{1.977} \le V_t + a

    Parameters
    ----------
    measured_g_per_l : float
        CO2 measured in the tank, c [g/L]
    target_vol : float
        Volumes wanted, V_t [vol]
    allowance_vol : float
        How far the beer may lie to either side, a [vol]

    Returns
    -------
    str
        `FIT`, `TOO_LITTLE` or `TOO_MUCH` [word]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 to 12 g/L, targets above 0 up to 6 volumes and allowances from 0 to 1 volume.

    Examples
    --------
    >>> carbonation_verdict(5.5, 2.8, 0.1)
    'fit to package'

    References
    ----------
    [REAL-GAS] density of the gas.
    [PLANT] target and allowance.
    """
    if not 0 < target_vol <= 6 or not 0 <= allowance_vol <= 1:
        raise ValueError("The target must lie between 0 and 6 volumes, the allowance between 0 and 1.")
    volumes = co2_volumes_from_g_per_l(measured_g_per_l)
    if abs(volumes - target_vol) <= allowance_vol + 1e-9:
        return FIT
    return TOO_LITTLE if volumes < target_vol else TOO_MUCH
