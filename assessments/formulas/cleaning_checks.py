"""Checks on a cleaning circuit: strength by titration, speed of the flow."""

import math

from assessments.formulas.constants import CAUSTIC_MOLAR_MASS


def caustic_strength_pct(acid_ml: float, acid_mol_per_l: float, sample_ml: float) -> float:
    r"""Return the strength of caustic soda from a titration with acid.

    .. math:: C = \frac{V_a c_a \cdot 40.00}{10 \, V_s}

    Parameters
    ----------
    acid_ml : float
        Acid used up to the turn of the indicator, V_a [mL]
    acid_mol_per_l : float
        Strength of the acid, as acid hydrogen, c_a [mol/L]
    sample_ml : float
        Sample of the liquor, V_s [mL]

    Returns
    -------
    float
        Strength as sodium hydroxide, C [% w/v]

    Raises
    ------
    ValueError
        When an input is not above 0, or the strength above 76 % w/v.

    Notes
    -----
    Valid for hydrochloric acid, or another by its acid hydrogen, and liquor whose alkali is caustic soda alone. With
    phenolphthalein a carbonate counts half.

    Examples
    --------
    >>> caustic_strength_pct(25.0, 0.5, 25.0)
    2.0

    References
    ----------
    [ATOMIC-MASS] one mole of acid hydrogen to 40.00 g of NaOH.
    """
    if acid_ml <= 0 or acid_mol_per_l <= 0 or sample_ml <= 0:
        raise ValueError("Acid, its strength and the sample must all be above 0.")
    strength = acid_ml * acid_mol_per_l * CAUSTIC_MOLAR_MASS.value / (10 * sample_ml)
    if strength > 76:
        raise ValueError("No caustic soda is that strong: check the readings.")
    return strength


def flow_speed_m_per_s(flow_m3_per_h: float, bore_mm: float) -> float:
    r"""Return the mean speed of the flow in a full pipe.

    .. math:: v = \frac{Q/3600}{\pi (d/2000)^2}

    Parameters
    ----------
    flow_m3_per_h : float
        Flow, Q [m3/h]
    bore_mm : float
        Inner diameter of the pipe, d [mm]

    Returns
    -------
    float
        Mean speed, v [m/s]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for full round pipes of 5 to 1000 mm and flows from 0 to 10 000 m3/h. For cleaning about 2 m/s is asked for,
    at least 1.5.

    Examples
    --------
    >>> round(flow_speed_m_per_s(900.0, 380.0), 2)
    2.2

    References
    ----------
    [GEOMETRY] flow over the cross-section.
    [CIP-SPEED] the speed for cleaning.
    """
    if not 0 <= flow_m3_per_h <= 10_000 or not 5 <= bore_mm <= 1000:
        raise ValueError("The flow must lie between 0 and 10 000 m³/h, the bore between 5 and 1000 mm.")
    return flow_m3_per_h / 3600 / (math.pi * (bore_mm / 2000) ** 2)


def flow_for_speed_hl_per_h(speed_m_per_s: float, bore_mm: float) -> float:
    r"""Return the flow that gives a speed in a full pipe.

    .. math:: Q = 36\,000 \, v \pi (d/2000)^2

    Parameters
    ----------
    speed_m_per_s : float
        Mean speed wanted, v [m/s]
    bore_mm : float
        Inner diameter of the pipe, d [mm]

    Returns
    -------
    float
        Flow, Q [hL/h]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for full round pipes of 5 to 1000 mm and speeds of 0 to 10 m/s.

    Examples
    --------
    >>> round(flow_for_speed_hl_per_h(2.5, 75.0))
    398

    References
    ----------
    [GEOMETRY] speed times the cross-section.
    [CIP-SPEED] the speed for cleaning.
    """
    if not 0 <= speed_m_per_s <= 10 or not 5 <= bore_mm <= 1000:
        raise ValueError("The speed must lie between 0 and 10 m/s, the bore between 5 and 1000 mm.")
    return 36_000 * speed_m_per_s * math.pi * (bore_mm / 2000) ** 2
