"""Pressure over beer in a tank: the chart in degF and psi, the air at altitude, the gauge to set."""

import math

from assessments.formulas.carbonation import dissolved_co2_g_per_l
from assessments.formulas.constants import CHART_ATMOSPHERE, STANDARD_ATMOSPHERE


def co2_volumes_by_chart(temp_f: float, gauge_psi: float) -> float:
    r"""Return volumes of CO2 in beer at rest, as the chart in degF and psi gives them.

    .. math:: V = (p_g + 14.695)(0.01821 + 0.090115 \, e^{-(F - 32)/43.11}) - 0.003342

    Parameters
    ----------
    temp_f : float
        Temperature of the beer, F [degF]
    gauge_psi : float
        Head pressure on the gauge, p_g [psi]

    Returns
    -------
    float
        Volumes of CO2, V [vol]

    Raises
    ------
    ValueError
        Outside 30 to 60 degF or 0 to 30 psi.

    Notes
    -----
    Valid for 30 to 60 degF and 0 to 30 psi at sea level, at rest. From 34 degF on it lies 2.4 to 3.6 % below CO2 in
    water by IAPWS G7-04, and 0.4 to 1.6 % below the form in degC and bar.

    Examples
    --------
    >>> round(co2_volumes_by_chart(38.0, 12.0), 2)
    2.58

    References
    ----------
    [ASBC-BEER13] a fit to the chart, its constants from memory.
    """
    if not 30 <= temp_f <= 60 or not 0 <= gauge_psi <= 30:
        raise ValueError("The chart runs from 30 to 60 °F and from 0 to 30 psi.")
    share = 0.01821 + 0.090115 * math.exp(-(temp_f - 32) / 43.11)
    return (gauge_psi + CHART_ATMOSPHERE.value) * share - 0.003342


def air_pressure_bar(altitude_m: float) -> float:
    r"""Return the pressure of the air at an altitude.

    .. math:: p_{atm} = 1.01325 (1 - 2.25577 \cdot 10^{-5} z)^{5.25588}

    Parameters
    ----------
    altitude_m : float
        Height above the sea, z [m]

    Returns
    -------
    float
        Pressure of the air, p_atm [bar]

    Raises
    ------
    ValueError
        Outside -400 to 5000 m.

    Notes
    -----
    Valid for -400 to 5000 m in the standard atmosphere. The weather moves the pressure by 3 % to either side. The
    closed form lies within 0.06 % of the tabled atmosphere up to 5000 m.

    Examples
    --------
    >>> round(air_pressure_bar(1600.0), 3)
    0.835

    References
    ----------
    [USSA1976] lowest layer.
    """
    if not -400 <= altitude_m <= 5000:
        raise ValueError("The altitude must lie between -400 and 5000 m.")
    return STANDARD_ATMOSPHERE.value * math.pow(1 - 2.25577e-5 * altitude_m, 5.25588)


def gauge_for_co2_bar(target_g_per_l: float, temp_c: float, altitude_m: float) -> float:
    r"""Return the head pressure to set so that beer at rest comes to a target.

    .. math:: p_g = \frac{c}{10 \, e^{-10.73797 + 2617.25/(t + 273.15)}} - p_{atm}(z)

    Parameters
    ----------
    target_g_per_l : float
        CO2 wanted, c [g/L]
    temp_c : float
        Temperature of the beer, t [degC]
    altitude_m : float
        Height above the sea, z [m]

    Returns
    -------
    float
        Head pressure on the gauge, p_g [bar]

    Raises
    ------
    ValueError
        When an input is outside its range, or the beer would need less than the air's own pressure.

    Notes
    -----
    Valid for -1 to 25 degC, -400 to 5000 m and gauges of 0 to 6 bar, at rest, with no air in the head space; the
    tank's own limit comes first. For 4.6 to 5.6 g/L, 1.1 to 10 degC and up to 2600 m it lies at most 0.04 bar above
    the gauge for water by IAPWS G7-04.

    Examples
    --------
    >>> round(gauge_for_co2_bar(5.2, 4.0, 1600.0), 2)
    1.06

    References
    ----------
    [MEBAK-CO2] solved for the pressure.
    [USSA1976] pressure of the air.
    """
    air = air_pressure_bar(altitude_m)
    per_bar = dissolved_co2_g_per_l(temp_c, 0.0, 1.0)
    gauge = target_g_per_l / per_bar - air
    if not 0 <= gauge <= 6:
        raise ValueError("The gauge would have to read below 0 or above 6 bar.")
    return gauge
