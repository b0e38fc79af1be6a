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
