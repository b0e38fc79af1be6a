"""Colour of beer and wort by absorbance."""

from assessments.formulas.constants import CLEAR_SHARE, EBC_COLOUR, READABLE, SRM_COLOUR, SRM_HALF_INCH

CENTIMETRE = "1 cm"
HALF_INCH = "half an inch"
CLEAR = "clear enough"
FILTER_AGAIN = "filter again"
DILUTE = "dilute first"


def colour_ebc(absorbance_au: float, dilution_fold: float) -> float:
    r"""Return colour in EBC units.

    .. math:: C = 25 \, A_{430} f

    Parameters
    ----------
    absorbance_au : float
        Absorbance at 430 nm in 1 cm, A_430 [AU]
    dilution_fold : float
        Volume after dilution over the volume before, f [1]

    Returns
    -------
    float
        Colour, C [EBC]

    Raises
    ------
    ValueError
        When an input is outside its range.

    Notes
    -----
    Valid for 0 to 3 AU in a 1 cm cell and dilutions of 1 to 100, in a clear sample. Dilute until the absorbance is
    below about 0.8.

    Examples
    --------
    >>> colour_ebc(0.4, 1.0)
    10.0

    References
    ----------
    [EBC-COLOUR] factor 25.
    """
    _refuse(absorbance_au, dilution_fold)
    return EBC_COLOUR.value * absorbance_au * dilution_fold


def colour_srm(absorbance_au: float, dilution_fold: float, cell: str) -> float:
    r"""Return colour in SRM units, for either cell.

    .. math:: C = 12.7 \, A_{430} f \quad (\text{half an inch: } 10 \, A_{430} f)

    Parameters
    ----------
    absorbance_au : float
        Absorbance at 430 nm, A_430 [AU]
    dilution_fold : float
        Volume after dilution over the volume before, f [1]
    cell : str
        Length of the cell [word]

    Returns
    -------
    float
        Colour, C [SRM]

    Raises
    ------
    ValueError
        When an input is outside its range or the cell unknown.

    Notes
    -----
    Valid for 0 to 3 AU and dilutions of 1 to 100, in a clear sample.

    Examples
    --------
    >>> round(colour_srm(2.0, 1.0, CENTIMETRE), 1)
    25.4

    References
    ----------
    [ASBC-COLOUR] factors 12.7 and 10.
    """
    _refuse(absorbance_au, dilution_fold)
    return srm_factor(cell) * absorbance_au * dilution_fold


def srm_factor(cell: str) -> float:
    r"""Return what an absorbance is multiplied by to give SRM units.

    .. math:: C = k \, A_{430}

    Parameters
    ----------
    cell : str
        Length of the cell [word]

    Returns
    -------
    float
        Factor, k [SRM/AU]

    Raises
    ------
    ValueError
        When the cell is unknown.

    Notes
    -----
    Valid for cells of 1 cm and of half an inch (1.27 cm).

    Examples
    --------
    >>> srm_factor(HALF_INCH)
    10.0

    References
    ----------
    [ASBC-COLOUR] factors 12.7 and 10.
    """
    factors = {CENTIMETRE: SRM_COLOUR.value, HALF_INCH: SRM_HALF_INCH.value}
    if cell not in factors:
        raise ValueError("The cell is 1 cm or half an inch long.")
    return factors[cell]


def srm_from_ebc(read_ebc: float) -> float:
    r"""Return colour in SRM units from EBC units.

    .. math:: C_s = \frac{12.7}{25} C

    Parameters
    ----------
    read_ebc : float
        Colour, C [EBC]

    Returns
    -------
    float
        Colour, C_s [SRM]

    Raises
    ------
    ValueError
        Outside 0 to 4000 EBC.

    Notes
    -----
    Valid for 0 to 4000 EBC. Dividing by the rounded 1.97 gives 0.08 % less.

    Examples
    --------
    >>> round(srm_from_ebc(10.0), 2)
    5.08

    References
    ----------
    [EBC-COLOUR] factor 25.
    [ASBC-COLOUR] factor 12.7.
    """
    if not 0 <= read_ebc <= 4000:
        raise ValueError("The colour must lie between 0 and 4000 EBC.")
    return SRM_COLOUR.value / EBC_COLOUR.value * read_ebc


def clarity_verdict(colour_au: float, haze_au: float) -> str:
    r"""Return whether the colour of a sample can be read, or what to do first.

    .. math:: A_{430} \le 0.8, \quad A_{700} \le 0.039 \, A_{430}

    Parameters
    ----------
    colour_au : float
        Absorbance at 430 nm, A_430 [AU]
    haze_au : float
        Absorbance at 700 nm, A_700 [AU]

    Returns
    -------
    str
        `CLEAR`, `FILTER_AGAIN` or `DILUTE` [word]

    Raises
    ------
    ValueError
        Outside 0 to 3 AU.

    Notes
    -----
    Valid for 0 to 3 AU, both read in the same cell. Nothing but haze takes up light at 700 nm; above 0.8 AU the
    reading is no longer in step with the colour.

    Examples
    --------
    >>> clarity_verdict(0.500, 0.012)
    'clear enough'

    References
    ----------
    [ASBC-COLOUR] share of 0.039.
    [LINEAR-RANGE] limit of 0.8, from memory.
    """
    if not 0 <= colour_au <= 3 or not 0 <= haze_au <= 3:
        raise ValueError("Both absorbances must lie between 0 and 3 AU.")
    if colour_au > READABLE.value:
        return DILUTE
    return CLEAR if haze_au <= CLEAR_SHARE.value * colour_au + 1e-9 else FILTER_AGAIN


def _refuse(absorbance_au: float, dilution_fold: float) -> None:
    if not 0 <= absorbance_au <= 3 or not 1 <= dilution_fold <= 100:
        raise ValueError("The absorbance must lie between 0 and 3 AU, the dilution between 1 and 100.")
