"""What the boil makes of alpha acid."""

import math

from assessments.formulas.constants import (
    BREAKDOWN,
    BREAKDOWN_SLOPE,
    ISOMERISATION,
    ISOMERISATION_SLOPE,
    ZERO_CELSIUS,
    Constant,
)


def isomerised_pct(temp_c: float, held_min: float) -> float:
    r"""Return the share of the alpha acid that is iso-alpha acid after a time in the kettle.

    .. math:: U = 100 \frac{k_1}{k_2 - k_1} \left( e^{-k_1 t} - e^{-k_2 t} \right), \quad
        k_1 = 7.9 \cdot 10^{11} e^{-11858/T}, \quad k_2 = 4.1 \cdot 10^{12} e^{-12994/T}

    Parameters
    ----------
    temp_c : float
        Temperature of the wort, T - 273.15 [degC]
    held_min : float
        Time at temperature, t [min]

    Returns
    -------
    float
        Share isomerised and not yet broken down, U [%]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 90 to 130 degC and 0 to 180 min, in a buffer of pH 5.2. A ceiling: losses to trub and yeast leave 25 to
    40 % in a plant.

    Examples
    --------
    >>> round(isomerised_pct(100.0, 90.0), 1)
    57.4

    References
    ----------
    [ISOMERISATION] both rates; minutes from memory.
    """
    if not 90 <= temp_c <= 130 or not 0 <= held_min <= 180:
        raise ValueError("The temperature must lie between 90 and 130 °C, the time between 0 and 180 min.")
    formed = _rate(ISOMERISATION, ISOMERISATION_SLOPE, temp_c)
    lost = _rate(BREAKDOWN, BREAKDOWN_SLOPE, temp_c)
    return 100 * formed / (lost - formed) * (math.exp(-formed * held_min) - math.exp(-lost * held_min))


def _rate(factor: Constant, slope: Constant, temp_c: float) -> float:
    return factor.value * math.exp(-slope.value / (temp_c + ZERO_CELSIUS.value))
