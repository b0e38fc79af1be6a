"""Ethanol and water at 20 degrees Celsius: density and strength."""

from assessments.formulas.constants import PURE_ETHANOL_DENSITY

#: [OIML-R22] factors A_1 to A_12 in kg/m3, for rising powers of the mass fraction of ethanol.
DENSITY_FACTORS = (
    998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
    306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
)  # fmt: skip
_BISECTIONS = 60


def mixture_density_kg_per_m3(by_weight_pct: float) -> float:
    r"""Return the density of ethanol and water at 20 degC from the alcohol by weight.

    .. math:: \rho = \sum_{k=1}^{12} A_k \left( \frac{A}{100} \right)^{k - 1}

    Parameters
    ----------
    by_weight_pct : float
        Alcohol by weight, A [% w/w]

    Returns
    -------
    float
        Density at 20 degC, rho [kg/m3]

    Raises
    ------
    ValueError
        Outside 0 to 100 %.

    Notes
    -----
    Valid for 0 <= A <= 100 at 20 degC, ethanol and water only: not beer, which holds extract. General mixture models
    are no substitute: they are up to a few kg/m3 off.

    Examples
    --------
    >>> round(mixture_density_kg_per_m3(5.0), 2)
    989.38

    References
    ----------
    [OIML-R22] general formula at 20 degC.
    """
    if not 0 <= by_weight_pct <= 100:
        raise ValueError("The alcohol must lie between 0 and 100 % w/w.")
    share = by_weight_pct / 100
    return sum(factor * share**power for power, factor in enumerate(DENSITY_FACTORS))


def mixture_by_weight_pct(by_volume_pct: float) -> float:
    r"""Return the alcohol by weight of ethanol and water from the alcohol by volume at 20 degC.

    .. math:: A \, \rho(A) = 789.24 \, ABV

    Parameters
    ----------
    by_volume_pct : float
        Alcohol by volume, ABV [% vol]

    Returns
    -------
    float
        Alcohol by weight, A [% w/w]

    Raises
    ------
    ValueError
        Outside 0 to 100 %.

    Notes
    -----
    Valid for 0 <= ABV <= 100 at 20 degC, ethanol and water only. Solved by halving, to 12 digits.

    Examples
    --------
    >>> round(mixture_by_weight_pct(40.0), 1)
    33.3

    References
    ----------
    [OIML-R22] general formula at 20 degC.
    """
    if not 0 <= by_volume_pct <= 100:
        raise ValueError("The strength must lie between 0 and 100 % vol.")
    low, high = 0.0, 100.0
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if middle * mixture_density_kg_per_m3(middle) < PURE_ETHANOL_DENSITY.value * by_volume_pct:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def spirit_density_kg_per_m3(by_volume_pct: float) -> float:
    r"""Return the density of ethanol and water at 20 degC from the alcohol by volume.

    .. math:: \rho = \rho(A), \quad A \, \rho(A) = 789.24 \, ABV

    Parameters
    ----------
    by_volume_pct : float
        Alcohol by volume, ABV [% vol]

    Returns
    -------
    float
        Density at 20 degC, rho [kg/m3]

    Raises
    ------
    ValueError
        Outside 0 to 100 %.

    Notes
    -----
    Valid for 0 <= ABV <= 100 at 20 degC, ethanol and water only.

    Examples
    --------
    >>> round(spirit_density_kg_per_m3(40.0), 2)
    948.05

    References
    ----------
    [OIML-R22] general formula at 20 degC.
    """
    return mixture_density_kg_per_m3(mixture_by_weight_pct(by_volume_pct))
