"""Hot water: its mass and its heat."""

from assessments.formulas.constants import SPECIFIC_HEAT_OF_WATER


def water_density_kg_per_m3(temp_c: float) -> float:
    r"""Return the density of water at ordinary pressure.

    .. math:: \rho = 1000 \left( 1 - \frac{(t + 288.9414)(t - 3.9863)^2}{508929.2 (t + 68.12963)} \right)

    Parameters
    ----------
    temp_c : float
        Temperature, t [degC]

    Returns
    -------
    float
        Density, rho [kg/m3]

    Raises
    ------
    ValueError
        Outside 0 to 100 degC.

    Notes
    -----
    Valid for 0 <= t <= 100 at 1 atm. Within 0.03 % of IAPWS-95, measured in `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(water_density_kg_per_m3(72.0), 1)
    976.6

    References
    ----------
    [MCCUTCHEON] equation.
    """
    if not 0 <= temp_c <= 100:
        raise ValueError("Water at ordinary pressure lies between 0 and 100 °C.")
    return 1000 * (1 - (temp_c + 288.9414) * (temp_c - 3.9863) ** 2 / (508929.2 * (temp_c + 68.12963)))


def hot_water_mass_kg(volume_hl: float, temp_c: float) -> float:
    r"""Return the mass of hot water from its volume as metered hot.

    .. math:: m = \frac{V}{10} \rho(t)

    Parameters
    ----------
    volume_hl : float
        Water, V [hL]
    temp_c : float
        Its temperature, t [degC]

    Returns
    -------
    float
        Mass, m [kg]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= t <= 100 and a meter that does not correct for temperature.

    Examples
    --------
    >>> round(hot_water_mass_kg(100.0, 72.0))
    9766

    References
    ----------
    [MCCUTCHEON] density.
    """
    if volume_hl <= 0:
        raise ValueError("There must be more than 0 hL of water.")
    return volume_hl / 10 * water_density_kg_per_m3(temp_c)


def heating_kwh(mass_kg: float, start_temp_c: float, end_temp_c: float) -> float:
    r"""Return the heat that brings water from one temperature to another.

    .. math:: Q = \frac{4.19 \, m (t_2 - t_1)}{3600}

    Parameters
    ----------
    mass_kg : float
        Water, m [kg]
    start_temp_c : float
        Temperature before, t_1 [degC]
    end_temp_c : float
        Temperature after, t_2 [degC]

    Returns
    -------
    float
        Heat, Q [kWh]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= t_1 <= t_2 <= 100 and no loss of heat. Within 0.5 % of IAPWS-95, measured in
    `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(heating_kwh(3600.0, 20.0, 80.0), 1)
    251.4

    References
    ----------
    [HEAT-BALANCE] derived here.
    [IAPWS-95] specific heat of water.
    """
    if mass_kg <= 0:
        raise ValueError("There must be more than 0 kg of water.")
    if not 0 <= start_temp_c <= end_temp_c <= 100:
        raise ValueError("Water is heated from 0 °C or more to 100 °C or less.")
    return SPECIFIC_HEAT_OF_WATER.value * mass_kg * (end_temp_c - start_temp_c) / 3600
