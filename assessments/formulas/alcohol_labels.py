"""What a label says of alcohol: strength, and the drinks that a container holds."""

from assessments.formulas.constants import ETHANOL_DENSITY, UK_UNIT, US_DRINK
from assessments.vocabulary import gettext_noop as _

EU_BEER = _("European Union: beer")
EU_CIDER = _("European Union: cider or fruit wine")
EU_STEEPED = _("European Union: fruit steeped in alcohol")
EU_OTHER = _("European Union: other drink")
US_MALT = _("United States: malt beverage")
US_SPIRITS = _("United States: spirits")
AU_BEER = _("Australia or New Zealand: beer or cider")
STRONG_BEER_ABOVE = 5.5
#: How far the strength may lie from the label, up or down [% vol]; beer above 5.5 % vol on the label has more.
TOLERANCES = {
    EU_BEER: 0.5, EU_CIDER: 1.0, EU_STEEPED: 1.5, EU_OTHER: 0.3, US_MALT: 0.3, US_SPIRITS: 0.3, AU_BEER: 0.3,
}  # fmt: skip
STRONG_BEER_TOLERANCE = 1.0

#: Ethanol in a standard drink [g].
DRINK_GRAMS = {
    _("Australia (10 g)"): 10.0,
    _("New Zealand (10 g)"): 10.0,
    _("Ireland (10 g)"): 10.0,
    _("Canada (13.45 g)"): 13.45,
}


def strength_tolerance_pct(market: str, label_pct: float) -> float:
    r"""Return how far the strength of a drink may lie from its label, either way.

    .. math:: \Delta \text{ by market and drink}

    Parameters
    ----------
    market : str
        A key of `TOLERANCES` [word]
    label_pct : float
        Strength on the label [% vol]

    Returns
    -------
    float
        Tolerance [% vol]

    Raises
    ------
    ValueError
        When the market is not listed, or the strength is outside 0.5 to 80 % vol.

    Notes
    -----
    Valid for the markets listed and 0.5 to 80 % vol. The class of a beer goes by its label. The figure for
    Australia and New Zealand is from memory. In the United States a malt beverage labelled 0.5 % or more may not
    fall below 0.5 %, whatever the tolerance.

    Examples
    --------
    >>> strength_tolerance_pct(EU_BEER, 5.0)
    0.5

    References
    ----------
    [REG-1169-XII] the European figures.
    [CFR27-7] malt beverages.
    [CFR27-19] spirits.
    [FSANZ-271] Australia and New Zealand.
    """
    if market not in TOLERANCES:
        raise ValueError("This market and drink is not listed.")
    if not 0.5 <= label_pct <= 80:
        raise ValueError("The strength must lie between 0.5 and 80 % vol.")
    if market == EU_BEER and label_pct > STRONG_BEER_ABOVE:
        return STRONG_BEER_TOLERANCE
    return TOLERANCES[market]


def strength_room_pct(market: str, label_pct: float, measured_pct: float) -> float:
    r"""Return how much room is left between a measured strength and the tolerance of its label.

    .. math:: r = \Delta - |a - a_l|

    Parameters
    ----------
    market : str
        A key of `TOLERANCES` [word]
    label_pct : float
        Strength on the label, a_l [% vol]
    measured_pct : float
        Strength measured, a [% vol]

    Returns
    -------
    float
        Room, negative when the label is wrong [% vol]

    Raises
    ------
    ValueError
        When the market is not listed, or a strength is outside its range.

    Notes
    -----
    Valid for the markets listed; the uncertainty of the measurement is not taken off.

    Examples
    --------
    >>> round(strength_room_pct(EU_BEER, 5.0, 5.4), 2)
    0.1

    References
    ----------
    [REG-1169-XII] the European figures.
    [CFR27-7] malt beverages.
    """
    if not 0 <= measured_pct <= 100:
        raise ValueError("The measured strength must lie between 0 and 100 % vol.")
    return strength_tolerance_pct(market, label_pct) - abs(measured_pct - label_pct)


def uk_units(volume_ml: float, strength_pct: float) -> float:
    r"""Return the UK units of alcohol in a container.

    .. math:: n = \frac{V a}{100 \cdot 10\ \mathrm{mL}}

    Parameters
    ----------
    volume_ml : float
        Volume, V [mL]
    strength_pct : float
        Strength, a [% vol]

    Returns
    -------
    float
        UK units [1]

    Raises
    ------
    ValueError
        When the volume is negative or the strength outside 0 to 100 % vol.

    Notes
    -----
    Valid at 20 degC; a unit is 10 mL of ethanol, about 8 g.

    Examples
    --------
    >>> round(uk_units(568.0, 4.0), 1)
    2.3

    References
    ----------
    [UK-UNIT] 10 mL of ethanol.
    """
    return _ethanol_ml(volume_ml, strength_pct) / UK_UNIT.value


def standard_drinks(volume_ml: float, strength_pct: float, drink_g: float) -> float:
    r"""Return the standard drinks in a container, by the mass of ethanol in one.

    .. math:: n = \frac{V a}{100} \frac{\rho_e}{m_d}

    Parameters
    ----------
    volume_ml : float
        Volume, V [mL]
    strength_pct : float
        Strength, a [% vol]
    drink_g : float
        Ethanol in a standard drink, m_d [g]

    Returns
    -------
    float
        Standard drinks [1]

    Raises
    ------
    ValueError
        When the volume is negative, the strength outside 0 to 100 % vol, or the drink not above 0 g.

    Notes
    -----
    Valid at 20 degC with 0.789 g/mL for ethanol, 0.03 % below OIML R 22. 10 g in Australia, New Zealand and
    Ireland; 13.45 g in Canada (from memory).

    Examples
    --------
    >>> round(standard_drinks(375.0, 4.8, 10.0), 2)
    1.42

    References
    ----------
    [FSANZ-271] 10 g of ethanol at 20 degC.
    """
    if drink_g <= 0:
        raise ValueError("A standard drink holds more than 0 g of ethanol.")
    return _ethanol_ml(volume_ml, strength_pct) * ETHANOL_DENSITY.value / drink_g


def us_drinks(volume_floz: float, strength_pct: float) -> float:
    r"""Return the US standard drinks in a container.

    .. math:: n = \frac{V a}{100 \cdot 0.6}

    Parameters
    ----------
    volume_floz : float
        Volume, V [US fl oz]
    strength_pct : float
        Strength, a [% vol]

    Returns
    -------
    float
        US standard drinks [1]

    Raises
    ------
    ValueError
        When the volume is negative or the strength outside 0 to 100 % vol.

    Notes
    -----
    Valid at 20 degC; a drink is 0.6 US fl oz of ethanol, about 14 g.

    Examples
    --------
    >>> us_drinks(12.0, 5.0)
    1.0

    References
    ----------
    [US-DRINK] 0.6 US fl oz of ethanol.
    """
    return _ethanol_ml(volume_floz, strength_pct) / US_DRINK.value


def _ethanol_ml(volume: float, strength_pct: float) -> float:
    """Return the ethanol in a volume, in the unit of the volume."""
    if volume < 0 or not 0 <= strength_pct <= 100:
        raise ValueError("The volume cannot be negative, and the strength lies between 0 and 100 % vol.")
    return volume * strength_pct / 100
