"""Double seams of cans."""


def seam_overlap_mm(body_hook_mm: float, cover_hook_mm: float, end_mm: float, seam_length_mm: float) -> float:
    r"""Return how far the hooks of a can's double seam overlap.

    .. math:: O = BH + CH + T_e - SL

    Parameters
    ----------
    body_hook_mm : float
        Body hook, BH [mm]
    cover_hook_mm : float
        Cover hook, CH [mm]
    end_mm : float
        Thickness of the end plate, T_e [mm]
    seam_length_mm : float
        Length (height) of the seam, SL [mm]

    Returns
    -------
    float
        Overlap, O [mm]

    Raises
    ------
    ValueError
        When a reading is not above 0 or the hooks do not meet.

    Notes
    -----
    Valid for one cross-section, all readings in mm; the worst of the readings counts.

    Examples
    --------
    >>> round(seam_overlap_mm(1.70, 1.60, 0.22, 2.50), 2)
    1.02

    References
    ----------
    [SEAM] overlap.
    """
    if min(body_hook_mm, cover_hook_mm, end_mm, seam_length_mm) <= 0:
        raise ValueError("Every reading must be above 0 mm.")
    overlap = body_hook_mm + cover_hook_mm + end_mm - seam_length_mm
    if overlap <= 0:
        raise ValueError("These hooks do not meet: read the seam again.")
    return overlap


def seam_overlap_pct(overlap_mm: float, seam_length_mm: float, end_mm: float, body_mm: float) -> float:
    r"""Return the overlap as a share of the room inside the seam.

    .. math:: O_{\%} = 100 \frac{O}{SL - (2 T_e + T_b)}

    Parameters
    ----------
    overlap_mm : float
        Overlap, O [mm]
    seam_length_mm : float
        Length (height) of the seam, SL [mm]
    end_mm : float
        Thickness of the end plate, T_e [mm]
    body_mm : float
        Thickness of the body plate, T_b [mm]

    Returns
    -------
    float
        Overlap [%]

    Raises
    ------
    ValueError
        When the plates leave no room in the seam, or the overlap exceeds the room.

    Notes
    -----
    Valid without the factor 1.1 on plate thickness that some makers use (about 3 points more).

    Examples
    --------
    >>> round(seam_overlap_pct(1.09, 2.48, 0.22, 0.16), 1)
    58.0

    References
    ----------
    [SEAM] percent overlap.
    """
    room = seam_length_mm - (2 * end_mm + body_mm)
    if not 0 < overlap_mm <= room:
        raise ValueError("The overlap must be above 0 and fit between the plates.")
    return 100 * overlap_mm / room
