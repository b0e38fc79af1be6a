"""Yeast: cells, viability, pitching."""

from assessments.formulas.constants import CHAMBER_DEPTH, LITRES_PER_HECTOLITRE


def _check_stain(part_count: float, total_count: float) -> None:
    if total_count <= 0 or not 0 <= part_count <= total_count:
        raise ValueError("The cells counted must be more than 0, and no fewer than the part of them.")


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


def pitch_cells_billion(wort_hl: float, extract_p: float, rate_million_per_ml_p: float) -> float:
    r"""Return the live yeast cells that a wort needs.

    .. math:: N = 100 V P r

    Parameters
    ----------
    wort_hl : float
        Wort, V [hL]
    extract_p : float
        Extract of the wort, P [degP]
    rate_million_per_ml_p : float
        Live cells wanted, r [million/mL/degP]

    Returns
    -------
    float
        Live cells, N [billion]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for rates of 0.1 to 3 million cells per mL and degP. A hectolitre is 100 000 mL, and 1000 million make a
    billion: hence the 100.

    Examples
    --------
    >>> pitch_cells_billion(10.0, 10.0, 1.0)
    10000.0

    References
    ----------
    [ARITHMETIC] rate times volume.
    [PRACTICE] the rates.
    """
    if wort_hl <= 0 or not 1 <= extract_p <= 30:
        raise ValueError("The wort must be above 0 hL and its extract between 1 and 30 °P.")
    if not 0.1 <= rate_million_per_ml_p <= 3:
        raise ValueError("The rate must lie between 0.1 and 3 million per mL and °P.")
    return 100 * wort_hl * extract_p * rate_million_per_ml_p


def counted_cells_million_per_ml(
    cells_count: float, squares_count: float, square_mm2: float, dilution_fold: float
) -> float:
    r"""Return the cells in a sample from a count in a chamber 0.1 mm deep.

    .. math:: c = \frac{N}{n} \cdot \frac{D}{0.1 \, a} \cdot 10^{-3}

    Parameters
    ----------
    cells_count : float
        Cells counted in all squares together, N [1]
    squares_count : float
        Squares counted, n [1]
    square_mm2 : float
        Area of one square, a [mm2]
    dilution_fold : float
        How many times the sample was diluted, D [1]

    Returns
    -------
    float
        Cells in the sample, c [million/mL]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for squares of 0.0025 to 1 mm2 and dilutions of 1 and up. A square of 1 mm2 holds 0.1 mm3, a ten-thousandth
    of a millilitre. Under 75 cells the count itself is too uncertain (common practice, no source).

    Examples
    --------
    >>> counted_cells_million_per_ml(450.0, 4.0, 1.0, 10.0)
    11.25

    References
    ----------
    [CHAMBER] volume of a square.
    """
    if cells_count < 0 or squares_count < 1 or dilution_fold < 1:
        raise ValueError("The count must not be negative; squares and dilution are 1 or more.")
    if not 0.0025 <= square_mm2 <= 1:
        raise ValueError("A square of the chamber has 0.0025 to 1 mm².")
    square_ml = square_mm2 * CHAMBER_DEPTH.value / 1000
    return cells_count / squares_count * dilution_fold / square_ml / 1e6


def viability_pct(unstained_count: float, total_count: float) -> float:
    r"""Return the share of yeast cells that are alive.

    .. math:: v = 100 \frac{L}{N}

    Parameters
    ----------
    unstained_count : float
        Cells that stayed without colour, L [1]
    total_count : float
        All cells counted, N [1]

    Returns
    -------
    float
        Viability, v [%]

    Raises
    ------
    ValueError
        When nothing was counted, or more without colour than in all.

    Notes
    -----
    Valid for methylene blue down to about 90 % alive; below that it flatters (a textbook rule, from memory).

    Examples
    --------
    >>> viability_pct(120.0, 150.0)
    80.0

    References
    ----------
    [ARITHMETIC] definition.
    """
    _check_stain(unstained_count, total_count)
    return 100 * unstained_count / total_count


def live_cells_million_per_ml(cells_million_per_ml: float, stained_count: float, total_count: float) -> float:
    r"""Return the live cells of a slurry from its cells and a stained count.

    .. math:: c_v = c \left( 1 - \frac{B}{N} \right)

    Parameters
    ----------
    cells_million_per_ml : float
        Cells in the slurry, c [million/mL]
    stained_count : float
        Cells that took the stain, B [1]
    total_count : float
        All cells counted, N [1]

    Returns
    -------
    float
        Live cells, c_v [million/mL]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 <= B <= N; dead cells take the stain.

    Examples
    --------
    >>> round(live_cells_million_per_ml(1050.0, 17.0, 210.0))
    965

    References
    ----------
    [ARITHMETIC] definition.
    """
    _check_stain(stained_count, total_count)
    if cells_million_per_ml < 0:
        raise ValueError("A count of cells cannot be negative.")
    return cells_million_per_ml * (1 - stained_count / total_count)
