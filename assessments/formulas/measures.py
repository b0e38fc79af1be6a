"""Weights and measures from other countries: pounds, barrels, imperial gallons, fluid ounces."""

from assessments.formulas.constants import (
    GALLONS_PER_IMPERIAL_BARREL,
    KG_PER_POUND,
    LITRES_PER_BEER_BARREL,
    LITRES_PER_HECTOLITRE,
    LITRES_PER_IMPERIAL_GALLON,
    ML_PER_US_FLUID_OUNCE,
)


def _check(amount: float) -> None:
    if amount < 0:
        raise ValueError("A mass or a volume cannot be negative.")


def kilograms_from_pounds(mass_lb: float) -> float:
    r"""Return a mass in kilograms from pounds.

    .. math:: m = 0.45359237 \, m_{lb}

    Parameters
    ----------
    mass_lb : float
        Mass, m_lb [lb]

    Returns
    -------
    float
        The same mass, m [kg]

    Raises
    ------
    ValueError
        For a negative mass.

    Notes
    -----
    Valid for masses of 0 and up, in pounds avoirdupois.

    Examples
    --------
    >>> kilograms_from_pounds(1.0)
    0.45359237

    References
    ----------
    [POUND-1959] exact.
    """
    _check(mass_lb)
    return KG_PER_POUND.value * mass_lb


def pounds_from_kilograms(mass_kg: float) -> float:
    r"""Return a mass in pounds from kilograms.

    .. math:: m_{lb} = \frac{m}{0.45359237}

    Parameters
    ----------
    mass_kg : float
        Mass, m [kg]

    Returns
    -------
    float
        The same mass, m_lb [lb]

    Raises
    ------
    ValueError
        For a negative mass.

    Notes
    -----
    Valid for masses of 0 and up, in pounds avoirdupois. With 2.2 pounds to the kilogram the answer is 0.2 % low.

    Examples
    --------
    >>> round(pounds_from_kilograms(25.0), 4)
    55.1156

    References
    ----------
    [POUND-1959] exact.
    """
    _check(mass_kg)
    return mass_kg / KG_PER_POUND.value


def beer_barrels_from_hectolitres(volume_hl: float) -> float:
    r"""Return a volume in US beer barrels from hectolitres.

    .. math:: V_{bbl} = \frac{100 \, V}{117.3478}

    Parameters
    ----------
    volume_hl : float
        Volume, V [hL]

    Returns
    -------
    float
        The same volume, V_bbl [US bbl]

    Raises
    ------
    ValueError
        For a negative volume.

    Notes
    -----
    Valid for volumes of 0 and up. A US beer barrel is 31 US gallons; an oil barrel is 42, and an imperial beer
    barrel 36 imperial gallons.

    Examples
    --------
    >>> round(beer_barrels_from_hectolitres(100.0), 4)
    85.2168

    References
    ----------
    [CFR27] 31 US gallons.
    """
    _check(volume_hl)
    return LITRES_PER_HECTOLITRE.value * volume_hl / LITRES_PER_BEER_BARREL.value


def litres_from_imperial_gallons(volume_imp_gal: float) -> float:
    r"""Return a volume in litres from imperial gallons.

    .. math:: V = 4.54609 \, V_{gal}

    Parameters
    ----------
    volume_imp_gal : float
        Volume, V_gal [imp gal]

    Returns
    -------
    float
        The same volume, V [L]

    Raises
    ------
    ValueError
        For a negative volume.

    Notes
    -----
    Valid for volumes of 0 and up, in imperial gallons; a US gallon holds 3.785412 L.

    Examples
    --------
    >>> litres_from_imperial_gallons(1.0)
    4.54609

    References
    ----------
    [UK-GALLON] exact.
    """
    _check(volume_imp_gal)
    return LITRES_PER_IMPERIAL_GALLON.value * volume_imp_gal


def hectolitres_from_imperial_barrels(volume_imp_bbl: float) -> float:
    r"""Return a volume in hectolitres from imperial beer barrels.

    .. math:: V = \frac{36 \cdot 4.54609 \, V_{bbl}}{100}

    Parameters
    ----------
    volume_imp_bbl : float
        Volume, V_bbl [imp bbl]

    Returns
    -------
    float
        The same volume, V [hL]

    Raises
    ------
    ValueError
        For a negative volume.

    Notes
    -----
    Valid for volumes of 0 and up. An imperial beer barrel is 36 imperial gallons, 163.66 L; a US one 117.35 L.

    Examples
    --------
    >>> round(hectolitres_from_imperial_barrels(1.0), 5)
    1.63659

    References
    ----------
    [UK-GALLON] the gallon, exact.
    [PRACTICE] 36 of them to the barrel.
    """
    _check(volume_imp_bbl)
    return (
        GALLONS_PER_IMPERIAL_BARREL.value * litres_from_imperial_gallons(volume_imp_bbl) / LITRES_PER_HECTOLITRE.value
    )


def millilitres_from_fluid_ounces(volume_floz: float) -> float:
    r"""Return a volume in millilitres from US fluid ounces.

    .. math:: V = 29.5735 \, V_{oz}

    Parameters
    ----------
    volume_floz : float
        Volume, V_oz [US fl oz]

    Returns
    -------
    float
        The same volume, V [mL]

    Raises
    ------
    ValueError
        For a negative volume.

    Notes
    -----
    Valid for volumes of 0 and up, in US fluid ounces; an imperial one holds 28.413 mL.

    Examples
    --------
    >>> round(millilitres_from_fluid_ounces(12.0), 3)
    354.882

    References
    ----------
    [SP811] a 128th of a US gallon.
    """
    _check(volume_floz)
    return ML_PER_US_FLUID_OUNCE.value * volume_floz
