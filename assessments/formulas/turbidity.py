"""Turbidity on the formazin scale."""

from assessments.formulas.constants import ASBC_FTU_PER_EBC, NTU_PER_EBC

RIGHT_ANGLE = "90°"
FORWARD = "25°"
BRIGHT = "bright enough"
TOO_HAZY = "too hazy"
NO_COMPARISON = "cannot be compared"


def ntu_from_ebc(haze_ebc: float) -> float:
    r"""Return turbidity in NTU from EBC units.

    .. math:: N = 4 \, E

    Parameters
    ----------
    haze_ebc : float
        Turbidity, E [EBC]

    Returns
    -------
    float
        Turbidity, N [NTU]

    Raises
    ------
    ValueError
        Outside 0 to 100 EBC.

    Notes
    -----
    Valid for 0 to 100 EBC, both calibrated with formazin and read at 90 degrees. FNU are the same as NTU here.

    Examples
    --------
    >>> ntu_from_ebc(1.0)
    4.0

    References
    ----------
    [EBC-HAZE] factor 4, from memory.
    """
    if not 0 <= haze_ebc <= 100:
        raise ValueError("The turbidity must lie between 0 and 100 EBC.")
    return NTU_PER_EBC.value * haze_ebc


def asbc_ftu_from_ebc(haze_ebc: float) -> float:
    r"""Return turbidity in ASBC formazin units from EBC units.

    .. math:: F = 69 \, E

    Parameters
    ----------
    haze_ebc : float
        Turbidity, E [EBC]

    Returns
    -------
    float
        Turbidity, F [ASBC FTU]

    Raises
    ------
    ValueError
        Outside 0 to 100 EBC.

    Notes
    -----
    Valid for 0 to 100 EBC, both calibrated with formazin and read at 90 degrees. The FTU of ISO 7027 is another
    unit: 17 ASBC FTU make one.

    Examples
    --------
    >>> asbc_ftu_from_ebc(1.0)
    69.0

    References
    ----------
    [FORMAZIN] both recipes compared.
    [EBC-HAZE] 4 NTU to the EBC unit, from memory.
    """
    if not 0 <= haze_ebc <= 100:
        raise ValueError("The turbidity must lie between 0 and 100 EBC.")
    return ASBC_FTU_PER_EBC.value * haze_ebc


def haze_verdict(reading_ntu: float, limit_ebc: float, angle: str) -> str:
    r"""Return whether filtered beer keeps a limit of turbidity set at 90 degrees.

    .. math:: N \le 4 \, E_{max}

    Parameters
    ----------
    reading_ntu : float
        Reading of the turbidity meter, N [NTU]
    limit_ebc : float
        Limit at 90 degrees, E_max [EBC]
    angle : str
        Angle at which the meter reads [word]

    Returns
    -------
    str
        `BRIGHT`, `TOO_HAZY` or `NO_COMPARISON` [word]

    Raises
    ------
    ValueError
        When an input is outside its range or the angle unknown.

    Notes
    -----
    Valid for readings of 0 to 400 NTU and limits of 0 to 100 EBC. Forward scatter at 11 to 25 degrees sees large
    particles and does not convert to 90 degrees.

    Examples
    --------
    >>> haze_verdict(2.0, 0.6, RIGHT_ANGLE)
    'bright enough'

    References
    ----------
    [EBC-HAZE] factor 4, from memory.
    [PLANT] the limit.
    """
    if angle not in {RIGHT_ANGLE, FORWARD}:
        raise ValueError("The angle is 90° or 25°.")
    if not 0 <= reading_ntu <= 400:
        raise ValueError("The reading must lie between 0 and 400 NTU.")
    limit_ntu = ntu_from_ebc(limit_ebc)
    if angle == FORWARD:
        return NO_COMPARISON
    return BRIGHT if reading_ntu <= limit_ntu + 1e-9 else TOO_HAZY
