"""Counting pallets."""

import math


def units_on_pallets(
    full_count: int, layers_count: int, cases_count: int, units_count: int, part_cases_count: int
) -> int:
    r"""Return the units on full pallets and one part pallet.

    .. math:: N = (f \, l \, c + k) \, u

    Parameters
    ----------
    full_count : int
        Full pallets, f [1]
    layers_count : int
        Layers on a pallet, l [1]
    cases_count : int
        Cases in a layer, c [1]
    units_count : int
        Units in a case, u [1]
    part_cases_count : int
        Cases on the part pallet, k [1]

    Returns
    -------
    int
        Units in all, N [1]

    Raises
    ------
    ValueError
        When a count is negative, or the part pallet holds a full one.

    Notes
    -----
    Valid for whole cases, and a part pallet with fewer cases than a full one.

    Examples
    --------
    >>> units_on_pallets(18, 6, 12, 24, 31)
    31848

    References
    ----------
    [ARITHMETIC] product and sum.
    """
    if min(full_count, part_cases_count) < 0 or min(layers_count, cases_count, units_count) < 1:
        raise ValueError("Pallets and cases are counted from 0, layers, cases in a layer and units from 1.")
    if part_cases_count >= layers_count * cases_count:
        raise ValueError("The part pallet holds as many cases as a full one: count it as full.")
    return (full_count * layers_count * cases_count + part_cases_count) * units_count


def pallets_needed(units_count: int, case_count: int, pallet_count: int) -> int:
    r"""Return the pallets that an order takes, the last one begun counted whole.

    .. math:: n = \left\lceil \frac{\lceil N/u \rceil}{c} \right\rceil

    Parameters
    ----------
    units_count : int
        Units ordered, N [1]
    case_count : int
        Units in a case, u [1]
    pallet_count : int
        Cases on a pallet, c [1]

    Returns
    -------
    int
        Pallets, n [1]

    Raises
    ------
    ValueError
        When a count is below 1.

    Notes
    -----
    Valid for whole cases on one size of pallet.

    Examples
    --------
    >>> pallets_needed(52000, 24, 56)
    39

    References
    ----------
    [ARITHMETIC] round up twice.
    """
    if min(units_count, case_count, pallet_count) < 1:
        raise ValueError("Units, units in a case and cases on a pallet are counted from 1.")
    return math.ceil(math.ceil(units_count / case_count) / pallet_count)


def layers_on_last(units_count: int, case_count: int, layer_count: int, layers_count: int) -> int:
    r"""Return how many layers of the last pallet of an order are begun.

    .. math:: l = \left\lceil \frac{n \bmod (c\,l_p)}{c} \right\rceil, \quad n = \left\lceil \frac{N}{u} \right\rceil

    Parameters
    ----------
    units_count : int
        Units ordered, N [1]
    case_count : int
        Units in a case, u [1]
    layer_count : int
        Cases in a layer, c [1]
    layers_count : int
        Layers on a full pallet, l_p [1]

    Returns
    -------
    int
        Layers begun; 0 when every pallet is full [1]

    Raises
    ------
    ValueError
        When a count is below 1.

    Notes
    -----
    Valid for whole cases, laid layer by layer.

    Examples
    --------
    >>> layers_on_last(52000, 24, 8, 7)
    5

    References
    ----------
    [ARITHMETIC] what is left over, rounded up.
    """
    if min(units_count, case_count, layer_count, layers_count) < 1:
        raise ValueError("Units, units in a case, cases in a layer and layers are counted from 1.")
    left_over = math.ceil(units_count / case_count) % (layer_count * layers_count)
    return math.ceil(left_over / layer_count)


def pallet_mass_kg(layer_count: int, layers_count: int, case_kg: float, empty_kg: float) -> float:
    r"""Return what a full pallet weighs.

    .. math:: m = l c m_c + m_p

    Parameters
    ----------
    layer_count : int
        Cases in a layer, c [1]
    layers_count : int
        Layers, l [1]
    case_kg : float
        Full case, m_c [kg]
    empty_kg : float
        Empty pallet, m_p [kg]

    Returns
    -------
    float
        Mass [kg]

    Raises
    ------
    ValueError
        When a count is below 1 or a mass not above 0.

    Notes
    -----
    Valid for cases of one mass; sheets and wrap are left out.

    Examples
    --------
    >>> pallet_mass_kg(8, 7, 17.5, 25.0)
    1005.0

    References
    ----------
    [ARITHMETIC] sum of masses.
    """
    if min(layer_count, layers_count) < 1 or min(case_kg, empty_kg) <= 0:
        raise ValueError("Cases and layers are counted from 1, and the masses must be above 0 kg.")
    return layer_count * layers_count * case_kg + empty_kg
