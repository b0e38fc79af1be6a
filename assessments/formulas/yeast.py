"""Yeast: cells, viability, pitching."""

from assessments.formulas.constants import LITRES_PER_HECTOLITRE


def slurry_volume_l(
    wort_hl: float,
    extract_p: float,
    rate_million_per_ml_p: float,
    slurry_million_per_ml: float,
    viability_fraction: float,
) -> float:
    r"""Return the yeast slurry to pitch.

    .. math:: V_s = \frac{100 V P r}{c \, v}

    Parameters
    ----------
    wort_hl : float
        Wort, V [hL]
    extract_p : float
        Extract of the wort, P [degP]
    rate_million_per_ml_p : float
        Live cells wanted, r [million/mL/degP]
    slurry_million_per_ml : float
        Cells in the slurry, c [million/mL]
    viability_fraction : float
        Share of them alive, v [1]

    Returns
    -------
    float
        Slurry, V_s [L]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for rates of 0.1 to 3 million cells per mL and degP, slurries of 50 to 5000 million/mL, v from 0.5 to 1.
    Yeast with under 80 % alive is not pitched in most plants (common practice, no source).

    Examples
    --------
    >>> round(slurry_volume_l(50.0, 12.0, 0.75, 1500.0, 0.95), 1)
    31.6

    References
    ----------
    [MASS-BALANCE] live cells in, live cells wanted.
    [PRACTICE] the rates.
    """
    if wort_hl <= 0 or not 1 <= extract_p <= 30:
        raise ValueError("The wort must be above 0 hL and its extract between 1 and 30 °P.")
    if not 0.1 <= rate_million_per_ml_p <= 3 or not 50 <= slurry_million_per_ml <= 5000:
        raise ValueError("The rate must lie between 0.1 and 3, the slurry between 50 and 5000 million per mL.")
    if not 0.5 <= viability_fraction <= 1:
        raise ValueError("The viability must be a fraction between 0.5 and 1.")
    cells = LITRES_PER_HECTOLITRE.value * wort_hl * extract_p * rate_million_per_ml_p
    return cells / (slurry_million_per_ml * viability_fraction)
