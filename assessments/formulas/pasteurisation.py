"""Pasteurisation of beer in the package."""

from assessments.formulas.constants import LETHAL_RATE_BASE, LETHAL_REFERENCE


def pasteurisation_units_pu(holding_min: float, temp_c: float) -> float:
    r"""Return the pasteurisation units of a hold at one temperature.

    .. math:: PU = t \cdot 1.393^{T - 60}

    Parameters
    ----------
    holding_min : float
        Time at temperature, t [min]
    temp_c : float
        Temperature of the beer, T [degC]

    Returns
    -------
    float
        Pasteurisation units [PU]

    Raises
    ------
    ValueError
        When the temperature is outside 50 to 75 degC or the time is negative.

    Notes
    -----
    Valid for beer from 50 to 75 degC at a steady temperature; a changing one is summed minute by minute.

    Examples
    --------
    >>> round(pasteurisation_units_pu(10.0, 62.0), 1)
    19.4

    References
    ----------
    [DEL-VECCHIO] z = 6.95 degC.
    """
    if not 50 <= temp_c <= 75 or holding_min < 0:
        raise ValueError("The temperature must lie between 50 and 75 °C and the time not be negative.")
    return float(holding_min * LETHAL_RATE_BASE.value ** (temp_c - LETHAL_REFERENCE.value))


def holding_time_min(target_pu: float, temp_c: float) -> float:
    r"""Return how long beer must be held for a number of pasteurisation units.

    .. math:: t = \frac{PU}{1.393^{T - 60}}

    Parameters
    ----------
    target_pu : float
        Units wanted, PU [PU]
    temp_c : float
        Temperature of the beer, T [degC]

    Returns
    -------
    float
        Time, t [min]

    Raises
    ------
    ValueError
        When the temperature is outside 50 to 75 degC or the units are negative.

    Notes
    -----
    Valid for beer from 50 to 75 degC at a steady temperature. With z = 7 instead of 6.95 degC the time is 0.5 %
    longer at 62 degC, 3 % at 72 and 4 % at 75.

    Examples
    --------
    >>> round(holding_time_min(15.0, 62.0), 1)
    7.7

    References
    ----------
    [DEL-VECCHIO] z = 6.95 degC.
    """
    if target_pu < 0:
        raise ValueError("The units cannot be negative.")
    return target_pu / pasteurisation_units_pu(1.0, temp_c)


def flash_units_pu(holding_s: float, temp_c: float) -> float:
    r"""Return the pasteurisation units of a holding tube.

    .. math:: PU = \frac{t}{60} \cdot 1.393^{T - 60}

    Parameters
    ----------
    holding_s : float
        Time in the tube, t [s]
    temp_c : float
        Temperature of the beer, T [degC]

    Returns
    -------
    float
        Pasteurisation units [PU]

    Raises
    ------
    ValueError
        When the temperature is outside 50 to 75 degC or the time is negative.

    Notes
    -----
    Valid for beer from 50 to 75 degC; the fastest part of the stream sets the time.

    Examples
    --------
    >>> round(flash_units_pu(30.0, 72.0), 1)
    26.7

    References
    ----------
    [DEL-VECCHIO] z = 6.95 degC.
    """
    return pasteurisation_units_pu(holding_s / 60, temp_c)


def tunnel_units_pu(
    heating_min: float, heating_c: float, holding_min: float, holding_c: float, cooling_min: float, cooling_c: float
) -> float:
    r"""Return the pasteurisation units of three zones of a tunnel, summed.

    .. math:: PU = \sum_i t_i \cdot 1.393^{T_i - 60}

    Parameters
    ----------
    heating_min : float
        Time in the heating zone [min]
    heating_c : float
        Temperature of the beer in the heating zone [degC]
    holding_min : float
        Time in the holding zone [min]
    holding_c : float
        Temperature of the beer in the holding zone [degC]
    cooling_min : float
        Time in the cooling zone [min]
    cooling_c : float
        Temperature of the beer in the cooling zone [degC]

    Returns
    -------
    float
        Pasteurisation units [PU]

    Raises
    ------
    ValueError
        When a temperature is outside 50 to 75 degC or a time is negative.

    Notes
    -----
    Valid for beer from 50 to 75 degC, steady in each zone. The mean temperature may not be used: the rate is no
    straight line.

    Examples
    --------
    >>> round(tunnel_units_pu(5.0, 55.0, 10.0, 61.0, 5.0, 56.0), 1)
    16.2

    References
    ----------
    [DEL-VECCHIO] z = 6.95 degC.
    """
    zones = ((heating_min, heating_c), (holding_min, holding_c), (cooling_min, cooling_c))
    return sum(pasteurisation_units_pu(minutes, temperature) for minutes, temperature in zones)
