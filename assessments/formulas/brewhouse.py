"""Mashing: strike water, conversion of starch, the iodine test."""

from assessments.formulas.constants import HEAT_RATIO_GRIST_TO_WATER

YELLOW = "yellow to light brown"
RED = "red to violet"
BLUE = "blue to black"

CONVERTED = "converted"
DEXTRINS_LEFT = "large dextrins left"
STARCH_LEFT = "starch left"
NO_READING = "no reading: take a new sample"

_COLOURS = {YELLOW: CONVERTED, RED: DEXTRINS_LEFT, BLUE: STARCH_LEFT}


def _check_heats(water_kg_per_kg: float, heat_ratio: float, slaking_c: float) -> None:
    if not 1.5 <= water_kg_per_kg <= 8 or not 0.3 <= heat_ratio <= 0.5:
        raise ValueError("Water to grist must lie between 1.5 and 8 kg/kg, the ratio of heats between 0.3 and 0.5.")
    if not 0 <= slaking_c <= 4:
        raise ValueError("The heat of slaking warms the mash by 0 to 4 °C.")


def strike_water_temp_c(mash_temp_c: float, grist_temp_c: float, water_l_per_kg: float) -> float:
    r"""Return the temperature that the mashing-in water must have.

    .. math:: T_s = T_m + \frac{0.41}{R} (T_m - T_g)

    Parameters
    ----------
    mash_temp_c : float
        Mash temperature wanted, T_m [degC]
    grist_temp_c : float
        Temperature of the grist, T_g [degC]
    water_l_per_kg : float
        Water to grist, R [L/kg]

    Returns
    -------
    float
        Temperature of the strike water, T_s [degC]

    Raises
    ------
    ValueError
        When the mash is not warmer than the grist, the ratio is outside 1.5 to 8, or the water would boil.

    Notes
    -----
    Valid for 1.5 <= R <= 8 and malt of about 6 % moisture, with no heat lost to the vessel, no heat of
    slaking, and a litre of water taken as a kilogram. Within 0.02 degC of IAPWS-95 with kilograms of water, measured
    in `tests/outside/wort_approximations.py`.

    Examples
    --------
    >>> round(strike_water_temp_c(65.0, 18.0, 3.0), 1)
    71.4

    References
    ----------
    [HEAT-BALANCE] derived here.
    [PRACTICE] heat ratio 0.41.
    """
    if not 1.5 <= water_l_per_kg <= 8:
        raise ValueError("Water to grist must lie between 1.5 and 8 L/kg.")
    if mash_temp_c <= grist_temp_c:
        raise ValueError("The mash must be warmer than the grist.")
    strike = mash_temp_c + HEAT_RATIO_GRIST_TO_WATER.value / water_l_per_kg * (mash_temp_c - grist_temp_c)
    if strike >= 100:
        raise ValueError("The water would have to boil: check the temperatures and the ratio.")
    return strike


def conversion_pct(water_kg_per_kg: float, extract_p: float, potential_fraction: float) -> float:
    r"""Return how much of the grist's extract has gone into the first wort.

    .. math:: C = 100 \frac{R P}{e (100 - P)}

    Parameters
    ----------
    water_kg_per_kg : float
        Water to grist by mass, R [kg/kg]
    extract_p : float
        Extract of the first wort, P [degP]
    potential_fraction : float
        Extract of the grist by laboratory mash, as a fraction of its mass, e [1]

    Returns
    -------
    float
        Share converted and dissolved, C [%]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 < P < 40, 0.5 <= e <= 1 and 1 <= R <= 10; the moisture of the malt is left out. More than
    100 % means a wrong reading, or a sample that had lost water.

    Examples
    --------
    >>> conversion_pct(3.0, 20.0, 0.8)
    93.75

    References
    ----------
    [MASS-BALANCE] P = 100 E/(E + R) solved for E, over e.
    """
    if not 0 < extract_p < 40:
        raise ValueError("The extract of the first wort must lie between 0 and 40 °P.")
    if not 0.5 <= potential_fraction <= 1:
        raise ValueError("The extract of the grist is a fraction between 0.5 and 1, such as 0.80.")
    if not 1 <= water_kg_per_kg <= 10:
        raise ValueError("Water to grist must lie between 1 and 10 kg/kg.")
    return 100 * water_kg_per_kg * extract_p / (potential_fraction * (100 - extract_p))


def iodine_reading(sample: str, drop: str, colour: str) -> str:
    r"""Return what the iodine test says about the mash.

    .. math:: \text{colour of the cooled, husk-free drop} \to \text{judgement}

    Parameters
    ----------
    sample : str
        "hot" or "cooled" [word]
    drop : str
        "clear" or "with husk" [word]
    colour : str
        One of `YELLOW`, `RED`, `BLUE` [word]

    Returns
    -------
    str
        `CONVERTED`, `DEXTRINS_LEFT`, `STARCH_LEFT`, or `NO_READING` [word]

    Raises
    ------
    ValueError
        For another word.

    Notes
    -----
    Valid for a cooled drop without husk: hot starch gives no colour (a false pass), and a husk stays dark
    (a false fail). Iodine and what it touched never go back to the mash.

    Examples
    --------
    >>> iodine_reading("cooled", "clear", "red to violet")
    'large dextrins left'

    References
    ----------
    [MEBAK-IODINE] the test.
    [PRACTICE] the colours.
    """
    if sample not in {"hot", "cooled"} or drop not in {"clear", "with husk"} or colour not in _COLOURS:
        raise ValueError("The iodine test knows: hot or cooled; clear or with husk; and its three colours.")
    if sample == "hot" or drop == "with husk":
        return NO_READING
    return _COLOURS[colour]


def mashing_water_temp_c(
    mash_temp_c: float, grist_temp_c: float, water_kg_per_kg: float, heat_ratio: float, slaking_c: float
) -> float:
    r"""Return the temperature of the mashing-in water, with the heat of this malt and of its slaking.

    .. math:: T_w = \frac{(T_m - s)(R + c) - c T_g}{R}

    Parameters
    ----------
    mash_temp_c : float
        Mash temperature wanted, T_m [degC]
    grist_temp_c : float
        Temperature of the grist, T_g [degC]
    water_kg_per_kg : float
        Water to grist by mass, R [kg/kg]
    heat_ratio : float
        Specific heat of the malt over that of water, c [1]
    slaking_c : float
        Warming by the heat of slaking, s; 0 where it is left out [degC]

    Returns
    -------
    float
        Temperature of the water, T_w [degC]

    Raises
    ------
    ValueError
        When an input is outside its range, or the water would boil.

    Notes
    -----
    Valid for 1.5 <= R <= 8, 0.3 <= c <= 0.5 and 0 <= s <= 4, with no heat lost to the vessel; see `mash_temp_c` for
    the figures of malt.

    Examples
    --------
    >>> round(mashing_water_temp_c(65.0, 18.0, 3.0, 0.4, 0.0), 2)
    71.27

    References
    ----------
    [MASH-FORM] solved for the water.
    [HEAT-BALANCE] without slaking.
    """
    _check_heats(water_kg_per_kg, heat_ratio, slaking_c)
    if not -20 <= grist_temp_c < mash_temp_c:
        raise ValueError("The mash must be warmer than the grist.")
    water = ((mash_temp_c - slaking_c) * (water_kg_per_kg + heat_ratio) - heat_ratio * grist_temp_c) / water_kg_per_kg
    if water >= 100:
        raise ValueError("The water would have to boil: check the temperatures and the ratio.")
    return water


def mash_temp_c(
    water_temp_c: float, grist_temp_c: float, water_kg_per_kg: float, heat_ratio: float, slaking_c: float
) -> float:
    r"""Return the temperature of the mash that hot water and grist make together.

    .. math:: T_m = \frac{R T_w + c T_g}{R + c} + s

    Parameters
    ----------
    water_temp_c : float
        Temperature of the water, T_w [degC]
    grist_temp_c : float
        Temperature of the grist, T_g [degC]
    water_kg_per_kg : float
        Water to grist by mass, R [kg/kg]
    heat_ratio : float
        Specific heat of the malt over that of water, c [1]
    slaking_c : float
        Warming by the heat of slaking, s; 0 where it is left out [degC]

    Returns
    -------
    float
        Temperature of the mash, T_m [degC]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 1.5 <= R <= 8, 0.3 <= c <= 0.5, 0 <= s <= 4 and water not colder than the grist, with no heat lost to
    the vessel. At 0, 2, 4, 6 and 8 % moisture c is 0.38, 0.39, 0.40, 0.41 and 0.42, and s 3.1, 2.3, 1.7, 1.3 and
    1.1 degC. One printed example of this formula adds where it should multiply: its mash is hotter than its water.

    Examples
    --------
    >>> round(mash_temp_c(60.0, 30.0, 3.0, 0.4, 2.1), 2)
    58.57

    References
    ----------
    [MASH-FORM] formula, and the figures for malt.
    [HEAT-BALANCE] without slaking.
    """
    _check_heats(water_kg_per_kg, heat_ratio, slaking_c)
    if not -20 <= grist_temp_c <= water_temp_c < 100:
        raise ValueError("The water must be warmer than the grist and must not boil.")
    mixed = (water_kg_per_kg * water_temp_c + heat_ratio * grist_temp_c) / (water_kg_per_kg + heat_ratio)
    return mixed + slaking_c
