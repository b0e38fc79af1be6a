"""A filter run: slurry, dosing pump, rise of the pressure."""

from assessments.formulas.constants import FILTER_AID_DENSITY


def slurry_strength_g_per_l(aid_kg: float, water_l: float) -> float:
    r"""Return the filter aid in a litre of slurry.

    .. math:: c = \frac{1000 \, m}{V_w + m/2.3}

    Parameters
    ----------
    aid_kg : float
        Filter aid tipped in, m [kg]
    water_l : float
        Water in the dosing vessel, V_w [L]

    Returns
    -------
    float
        Filter aid in the slurry, c [g/L]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for strengths above 0 up to 400 g/L. The powder takes room: m/2.3 litres. With 2.2 in place of 2.3 kg/L the
    result at 150 g/L is 0.3 % lower.

    Examples
    --------
    >>> round(slurry_strength_g_per_l(100.0, 1000.0), 1)
    95.8

    References
    ----------
    [MASS-BALANCE] powder over the volume of water and powder.
    [FILTER-AID] true density.
    """
    if aid_kg <= 0 or water_l <= 0:
        raise ValueError("Filter aid and water must both be above 0.")
    strength = 1000 * aid_kg / (water_l + aid_kg / FILTER_AID_DENSITY.value)
    if strength > 400:
        raise ValueError("A slurry above 400 g/L cannot be pumped.")
    return strength


def dosing_rate_l_per_h(flow_hl_per_h: float, dose_g_per_hl: float, slurry_g_per_l: float) -> float:
    r"""Return the rate of the dosing pump that gives the body feed wanted.

    .. math:: Q = \frac{F d}{c}

    Parameters
    ----------
    flow_hl_per_h : float
        Beer through the filter, F [hL/h]
    dose_g_per_hl : float
        Body feed wanted, d [g/hL]
    slurry_g_per_l : float
        Filter aid in the slurry, c [g/L]

    Returns
    -------
    float
        Rate of the dosing pump, Q [L/h]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for flows above 0, doses of 10 to 500 g/hL and slurries above 0 up to 400 g/L. Usual: 50 to 200 g/hL.

    Examples
    --------
    >>> dosing_rate_l_per_h(100.0, 80.0, 100.0)
    80.0

    References
    ----------
    [MASS-BALANCE] filter aid pumped is filter aid dosed.
    [PRACTICE] the doses.
    """
    if flow_hl_per_h <= 0 or not 10 <= dose_g_per_hl <= 500:
        raise ValueError("The flow must be above 0 hL/h and the dose between 10 and 500 g/hL.")
    if not 0 < slurry_g_per_l <= 400:
        raise ValueError("The slurry must hold more than 0 and at most 400 g/L.")
    return flow_hl_per_h * dose_g_per_hl / slurry_g_per_l


def pressure_rise_bar_per_h(start_bar: float, now_bar: float, running_min: float) -> float:
    r"""Return how fast the pressure at the filter inlet rises.

    .. math:: r = \frac{p_2 - p_1}{t/60}

    Parameters
    ----------
    start_bar : float
        Pressure at the start, p_1 [bar]
    now_bar : float
        Pressure now, p_2 [bar]
    running_min : float
        Time between both, t [min]

    Returns
    -------
    float
        Rise, r [bar/h]

    Raises
    ------
    ValueError
        When the pressure fell or the time is not above 0.

    Notes
    -----
    Valid for 0 <= p_1 <= p_2 <= 16 bar and times above 0, at one flow and one dose: then the rise is a straight line.

    Examples
    --------
    >>> round(pressure_rise_bar_per_h(1.2, 2.6, 420.0), 3)
    0.2

    References
    ----------
    [ARITHMETIC] difference over time.
    [MACRON] a straight line where the dose is right.
    """
    if not 0 <= start_bar <= now_bar <= 16 or running_min <= 0:
        raise ValueError("The pressure must not fall and lie between 0 and 16 bar, and the time be above 0 min.")
    return (now_bar - start_bar) / (running_min / 60)


def pressure_rise_bar_per_100hl(rise_bar_per_h: float, flow_hl_per_h: float) -> float:
    r"""Return the rise of the pressure over 100 hL of beer.

    .. math:: r_V = \frac{100 \, r}{F}

    Parameters
    ----------
    rise_bar_per_h : float
        Rise of the pressure, r [bar/h]
    flow_hl_per_h : float
        Beer through the filter, F [hL/h]

    Returns
    -------
    float
        Rise over 100 hL, r_V [bar/100 hL]

    Raises
    ------
    ValueError
        When the pressure falls or the flow is not above 0.

    Notes
    -----
    Valid for rises from 0 and flows above 0. It compares runs at different flows; a rise for an hour does not.

    Examples
    --------
    >>> round(pressure_rise_bar_per_100hl(0.3, 150.0), 3)
    0.2

    References
    ----------
    [ARITHMETIC] rise over the volume of an hour.
    """
    if rise_bar_per_h < 0 or flow_hl_per_h <= 0:
        raise ValueError("The pressure must not fall, and the flow must be above 0 hL/h.")
    return 100 * rise_bar_per_h / flow_hl_per_h


def run_left_h(limit_bar: float, now_bar: float, rise_bar_per_h: float) -> float:
    r"""Return the hours until the filter reaches its pressure limit.

    .. math:: t = \frac{p_{max} - p}{r}

    Parameters
    ----------
    limit_bar : float
        Pressure at which the run ends, p_max [bar]
    now_bar : float
        Pressure now, p [bar]
    rise_bar_per_h : float
        Rise of the pressure, r [bar/h]

    Returns
    -------
    float
        Time left, t [h]

    Raises
    ------
    ValueError
        When the limit lies below the pressure, or the pressure does not rise.

    Notes
    -----
    Valid for 0 <= p <= p_max <= 16 bar and rises above 0, as long as flow and dose stay as they are.

    Examples
    --------
    >>> round(run_left_h(5.0, 2.6, 0.2), 2)
    12.0

    References
    ----------
    [ARITHMETIC] pressure left over its rise.
    [MACRON] a straight line where the dose is right.
    """
    if not 0 <= now_bar <= limit_bar <= 16 or rise_bar_per_h <= 0:
        raise ValueError("The limit must not lie below the pressure now, and the pressure must rise.")
    return (limit_bar - now_bar) / rise_bar_per_h
