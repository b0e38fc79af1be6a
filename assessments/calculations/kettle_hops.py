"""Hops in the kettle, framework code C27: what the boil yields, rates by volume, bitterness measured."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import hops as formulas
from assessments.formulas.constants import (
    BITTERNESS_FACTOR,
    EBC_COLOUR,
    GRAMS_PER_POUND,
    LITRES_PER_BEER_BARREL,
    LITRES_PER_US_GALLON,
    ZERO_CELSIUS,
)
from assessments.formulas.isomerisation import isomerised_pct
from assessments.notation import Fixed, Line, Node, Number, exponential
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_wort = Measured("V", name="wort", says=_("cold wort"), unit="hL", low=40, high=240, resolution=1)
_hops = Measured("m", name="hops", says=_("hops in the kettle"), unit="kg", low=8, high=40, resolution=0.05)
_alpha = Measured("α", name="alpha", says=_("alpha acid of the hops"), unit="%", low=5, high=15, resolution=0.1)
_used = Measured(
    "U", name="utilisation", says=_("share that reaches the beer"), unit="%", low=24, high=38, resolution=1,
    is_exact=True,
)  # fmt: skip
_iso = Line.of(
    "m_iso", Number(10) ** 6 * _hops * (_alpha / 100) * (_used / 100), _("iso-alpha acid won"), unit="mg", decimals=0
)
_bitterness = Line.of("B", _iso / (100 * _wort), _("bitterness brought"), unit="mg/L", decimals=1)


def _is_usual(givens: Givens) -> bool:
    """Return whether the bitterness is one that beers have."""
    return 8 < formulas.bitterness_mg_per_l(*(number_in(givens, name) for name in givens)) < 60


BROUGHT = Calculation(
    code="C27-brought",
    title=_("Bitterness from an addition"),
    family=Family.HOPS,
    asks=_("How much bitterness does this addition bring to the beer?"),
    givens=(_hops, _wort, _alpha, _used),
    steps=(_iso, _bitterness),
    work=formulas.bitterness_mg_per_l,
    slips=(
        Slip(
            _("utilisation left out"),
            _("Only part of the alpha acid reaches the beer: multiply by the utilisation."),
            {_iso: Number(10) ** 6 * _hops * (_alpha / 100)},
        ),
        Slip(
            _("divided by the utilisation"),
            _("Losses make the bitterness smaller: multiply by the utilisation."),
            {_iso: Number(10) ** 6 * _hops * (_alpha / 100) / (_used / 100)},
        ),
        Slip(
            _("hL taken as L"),
            _("Milligrams per litre go with litres: a hectolitre is 100 of them."),
            {_bitterness: _iso / _wort},
        ),
    ),
    valid_for=_("one addition; one bitterness unit taken as 1 mg/L"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.HOT_LIQUOR,),
    accepts=_is_usual,
)

_temperature = Measured("t_w", name="temperature", says=_("wort"), unit="°C", low=98, high=104, resolution=0.1)
_held = Measured(
    "t", name="time", says=_("time from the addition"), unit="min", low=45, high=90, resolution=1, is_exact=True
)
_kelvin = Line.of("T", _temperature + ZERO_CELSIUS.value, _("temperature in kelvin"), unit="K", decimals=2)


def _speed(mantissa: float, power: int, slope: float) -> Node:
    return mantissa * Number(10) ** power * exponential(-(Number(slope) / _kelvin))


_formed = Line.of("k_1", _speed(7.9, 11, 11858), _("how fast it isomerises"), unit="per min", decimals=5)
_lost = Line.of("k_2", _speed(4.1, 12, 12994), _("how fast that breaks down"), unit="per min", decimals=5)
_alpha_left = Line.of("x_1", exponential(-(_formed * _held)), _("share of the alpha acid left"), decimals=4)
_unbroken = Line.of("x_2", exponential(-(_lost * _held)), _("share that would not have broken down"), decimals=4)
_share = Line.of(
    "U", 100 * _formed / (_lost - _formed) * (_alpha_left - _unbroken), _("share isomerised"), unit="%", decimals=1
)
UTILISATION = Calculation(
    code="C27-utilisation",
    title=_("What the boil can yield"),
    family=Family.HOPS,
    asks=_("What share of the alpha acid is iso-alpha acid at the end of the boil, before any other loss?"),
    givens=(_temperature, _held),
    steps=(_kelvin, _formed, _lost, _alpha_left, _unbroken, _share),
    work=isomerised_pct,
    slips=(
        Slip(
            _("left the breakdown out"),
            _("Iso-alpha acid breaks down as it forms: take both speeds."),
            {_share: 100 * (1 - _alpha_left)},
        ),
        Slip(
            _("counted the first speed all the way"),
            _("Less and less alpha acid is left to isomerise: the curve bends, so use the exponentials."),
            {_share: 100 * _formed * _held},
        ),
        Slip(
            _("took the time in hours"),
            _("Both speeds are per minute: leave the time in minutes."),
            {_held: _held / 60},
        ),
    ),
    valid_for=_("90 to 130 °C, pH 5.2; a ceiling: trub and yeast leave 25 to 40 % in a plant"),
    sources=("ISOMERISATION",),
    cautions=(cautions.HOT_LIQUOR, cautions.PRESSURE),
    also_right=({_kelvin: _temperature + 273},),
)

_volume = Measured("V", name="volume", says=_("cold wort or beer"), unit="hL", low=40, high=240, resolution=1)
_rate = Measured("r", name="rate", says=_("aroma hops"), unit="g/hL", low=50, high=600, resolution=10, is_exact=True)
_addition = Line.of("m", _volume * _rate / 1000, _("hops to weigh out"), unit="kg", decimals=2)
ADDITION = Calculation(
    code="C27-addition",
    title=_("Aroma hops by rate"),
    family=Family.HOPS,
    asks=_("How much does the aroma addition weigh?"),
    givens=(_volume, _rate),
    steps=(_addition,),
    work=formulas.addition_mass_kg,
    slips=(
        Slip(
            _("forgot to divide by 1000"),
            _("Grams come out first: a thousand of them make a kilogram."),
            {_addition: _volume * _rate},
        ),
        Slip(
            _("took the rate for a litre"),
            _("The rate is for a hectolitre and the volume is in hectolitres: leave the 100 out."),
            {_rate: _rate * 100},
        ),
        Slip(
            _("divided by the rate"),
            _("Each hectolitre needs its hops: multiply."),
            {_addition: _volume / _rate},
        ),
    ),
    valid_for=_("one addition, by volume"),
    sources=("ARITHMETIC", "PRACTICE"),
    cautions=(cautions.HOT_LIQUOR,),
)

_by_barrel = Measured(
    "r_b", name="rate", says=_("hops in the recipe"), unit="lb/US bbl", low=0.1, high=2, resolution=0.05, is_exact=True
)
_grams = Line.of("m", _by_barrel * GRAMS_PER_POUND.value, _("hops for a barrel"), unit="g", decimals=1)
_barrel = Line.of(
    "V_b", Fixed("", value=LITRES_PER_BEER_BARREL.value) / 100, _("a beer barrel"), unit="hL", decimals=4
)
_by_hectolitre = Line.of("r", _grams / _barrel, _("hops for a hectolitre"), unit="g/hL", decimals=1)
BY_BARREL = Calculation(
    code="C27-barrel",
    title=_("Hop rate: lb/bbl to g/hL"),
    family=Family.HOPS,
    asks=_("The recipe counts pounds for a US beer barrel. How many grams for a hectolitre is that?"),
    givens=(_by_barrel,),
    steps=(_grams, _barrel, _by_hectolitre),
    work=formulas.rate_g_per_hl_from_barrels,
    slips=(
        Slip(
            _("took the oil barrel"),
            _("A US beer barrel holds 31 US gallons, 1.173 hL; 42 gallons are a barrel of oil."),
            {_barrel: 42 * Fixed("", value=LITRES_PER_US_GALLON.value) / 100},
        ),
        Slip(
            _("took a barrel for a hectolitre"),
            _("A beer barrel is 1.173 hL: divide by that."),
            {_by_hectolitre: _grams * 1},
        ),
        Slip(
            _("multiplied by the barrel"),
            _("A hectolitre is less than a barrel, so it takes fewer hops: divide."),
            {_by_hectolitre: _grams * _barrel},
        ),
    ),
    valid_for=_("US beer barrels of 31 US gallons"),
    sources=("SP811", "CFR27"),
    cautions=(cautions.HOT_LIQUOR,),
    must_use_unit=True,
    also_right=({_barrel: Number(1.173)},),
)

_absorbance = Measured(
    "A_275", name="absorbance", says=_("absorbance at 275 nm, 1 cm"), unit="AU", low=0.2, high=0.9, resolution=0.001
)
_units = Line.of("B", BITTERNESS_FACTOR.value * _absorbance, _("bitterness"), unit="BU", decimals=1)
UNITS = Calculation(
    code="C27-units",
    title=_("Bitterness by absorbance"),
    family=Family.HOPS,
    asks=_("The beer was shaken out with iso-octane. How many bitterness units does the reading mean?"),
    givens=(_absorbance,),
    steps=(_units,),
    work=formulas.bitterness_units,
    slips=(
        Slip(
            _("used the factor of colour"),
            _("25 belongs to colour at 430 nm; for bitterness at 275 nm the factor is 50."),
            {_units: EBC_COLOUR.value * _absorbance},
        ),
        Slip(
            _("counted the iso-octane a second time"),
            _("The factor 50 holds the 20 mL of iso-octane for 10 mL of beer already: do not double it."),
            {_units: 2 * BITTERNESS_FACTOR.value * _absorbance},
        ),
    ),
    valid_for=_("10 mL of beer with acid and 20 mL of iso-octane, read against a blank"),
    sources=("EBC-BITTER",),
    cautions=(cautions.SOLVENT,),
)
