"""Weights and measures from other countries, framework code C20."""

from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import measures as formulas
from assessments.formulas.constants import (
    GALLONS_PER_IMPERIAL_BARREL,
    KG_PER_POUND,
    LITRES_PER_BEER_BARREL,
    LITRES_PER_IMPERIAL_GALLON,
    LITRES_PER_US_GALLON,
    ML_PER_US_FLUID_OUNCE,
)
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_kg_per_pound = Fixed("", value=KG_PER_POUND.value)
_pounds = Measured("m_lb", name="mass", says=_("mass"), unit="lb", low=10, high=500, resolution=1, is_exact=True)
_kilograms = Line.of("m", _kg_per_pound * _pounds, _("mass in kilograms"), unit="kg", decimals=1)
KILOGRAMS = Calculation(
    code="C20-kilograms",
    title=_("Pounds to kilograms"),
    family=Family.CONVERSION,
    asks=_("A delivery of hops is marked in pounds. How many kilograms do you book in?"),
    givens=(_pounds,),
    steps=(_kilograms,),
    work=formulas.kilograms_from_pounds,
    slips=(
        Slip(
            _("divided instead of multiplied"),
            _("A pound is less than half a kilogram, so the number gets smaller: multiply by 0.4536."),
            {_kilograms: _pounds / _kg_per_pound},
        ),
        Slip(
            _("took a pound for half a kilogram"),
            _("The metric pound of 500 g is another one: this pound is 0.4536 kg."),
            {_kilograms: _pounds / 2},
        ),
    ),
    # 2.2 pounds to the kilogram are in use.
    relative_spread=0.0025,
    valid_for=_("pounds avoirdupois"),
    sources=("POUND-1959",),
    is_harmless=True,
    must_use_unit=True,
)

_metric = Measured("m", name="mass", says=_("mass"), unit="kg", low=5, high=400, resolution=1, is_exact=True)
_in_pounds = Line.of("m_lb", _metric / _kg_per_pound, _("mass in pounds"), unit="lb", decimals=1)
POUNDS = Calculation(
    code="C20-pounds",
    title=_("Kilograms to pounds"),
    family=Family.CONVERSION,
    asks=_("The supplier's scale shows pounds. What does it show for this mass?"),
    givens=(_metric,),
    steps=(_in_pounds,),
    work=formulas.pounds_from_kilograms,
    slips=(
        Slip(
            _("multiplied instead of divided"),
            _("A kilogram is more than two pounds, so the number gets larger: divide by 0.4536."),
            {_in_pounds: _metric * _kg_per_pound},
        ),
        Slip(
            _("doubled the kilograms"),
            _("Two pounds to the kilogram is a tenth too few: it is 2.2046."),
            {_in_pounds: 2 * _metric},
        ),
    ),
    # 2.2 pounds to the kilogram are in use.
    relative_spread=0.0025,
    valid_for=_("pounds avoirdupois"),
    sources=("POUND-1959",),
    is_harmless=True,
    must_use_unit=True,
)

_litres_per_barrel = Fixed("", value=LITRES_PER_BEER_BARREL.value)
_hectolitres = Measured("V", name="volume", says=_("volume"), unit="hL", low=10, high=500, resolution=1, is_exact=True)
_litres = Line.of("V_L", 100 * _hectolitres, _("volume in litres"), unit="L", decimals=0)
_barrels = Line.of("V_bbl", _litres / _litres_per_barrel, _("volume in beer barrels"), unit="US bbl", decimals=1)
BARRELS = Calculation(
    code="C20-barrels",
    title=_("Hectolitres to US beer barrels"),
    family=Family.CONVERSION,
    asks=_("An export report asks for US beer barrels. How many are in the tank?"),
    givens=(_hectolitres,),
    steps=(_litres, _barrels),
    work=formulas.beer_barrels_from_hectolitres,
    slips=(
        Slip(
            _("multiplied instead of divided"),
            _("A barrel holds more than a hectolitre, so there are fewer barrels: divide."),
            {_barrels: _hectolitres * _litres_per_barrel / 100},
        ),
        Slip(
            _("took the oil barrel"),
            _("An oil barrel is 42 US gallons. A US beer barrel is 31."),
            {_barrels: _litres / (42 * LITRES_PER_US_GALLON.value)},
        ),
        Slip(
            _("took the imperial barrel"),
            _("An imperial barrel is 36 imperial gallons, 163.7 L. A US beer barrel is 117.3 L."),
            {_barrels: _litres / (36 * LITRES_PER_IMPERIAL_GALLON.value)},
        ),
    ),
    # 1.173 in place of 1.173478.
    relative_spread=0.0005,
    valid_for=_("US beer barrels of 31 US gallons"),
    sources=("CFR27",),
    is_harmless=True,
    must_use_unit=True,
)

_per_imperial = Fixed("", value=LITRES_PER_IMPERIAL_GALLON.value)
_imperial = Measured(
    "V_gal", name="volume", says=_("volume"), unit="imp gal", low=9, high=900, resolution=9, is_exact=True
)
_metric_volume = Line.of("V", _per_imperial * _imperial, _("volume in litres"), unit="L", decimals=1)
IMPERIAL = Calculation(
    code="C20-imperial",
    title=_("Imperial gallons to litres"),
    family=Family.CONVERSION,
    asks=_("Casks come back marked in imperial gallons. How many litres is that?"),
    givens=(_imperial,),
    steps=(_metric_volume,),
    work=formulas.litres_from_imperial_gallons,
    slips=(
        Slip(
            _("took the US gallon"),
            _("A US gallon is 3.785 L, an imperial gallon 4.546 L. Casks are imperial."),
            {_metric_volume: LITRES_PER_US_GALLON.value * _imperial},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("A gallon holds more than a litre, so there are more litres: multiply by 4.546."),
            {_metric_volume: _imperial / _per_imperial},
        ),
    ),
    # 4.55 in place of 4.54609.
    relative_spread=0.001,
    valid_for=_("imperial gallons"),
    sources=("UK-GALLON",),
    is_harmless=True,
    must_use_unit=True,
)

_per_barrel = Fixed("", value=GALLONS_PER_IMPERIAL_BARREL.value)
_casks = Measured("V_bbl", name="volume", says=_("mark"), unit="imp bbl", low=5, high=200, resolution=1, is_exact=True)
_gallons = Line.of("V_gal", _per_barrel * _casks, _("volume in imperial gallons"), unit="imp gal", decimals=0)
_in_hectolitres = Line.of("V", _per_imperial * _gallons / 100, _("volume in hectolitres"), unit="hL", decimals=1)
IMPERIAL_BARRELS = Calculation(
    code="C20-imperial_barrels",
    title=_("Imperial beer barrels to hectolitres"),
    family=Family.CONVERSION,
    asks=_("An old tank is marked in imperial barrels. How many hectolitres does it hold?"),
    givens=(_casks,),
    steps=(_gallons, _in_hectolitres),
    work=formulas.hectolitres_from_imperial_barrels,
    slips=(
        Slip(
            _("took the US beer barrel"),
            _("A US beer barrel is 117.3 L, an imperial one 163.7 L. Find out where the tank was made."),
            {_in_hectolitres: _litres_per_barrel * _casks / 100},
        ),
        Slip(
            _("took the US gallon"),
            _("A US gallon is 3.785 L, an imperial gallon 4.546 L."),
            {_in_hectolitres: LITRES_PER_US_GALLON.value * _gallons / 100},
        ),
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres: divide the litres by 100."),
            {_in_hectolitres: _per_imperial * _gallons},
        ),
    ),
    # 1.64 in place of 1.63659.
    relative_spread=0.0025,
    valid_for=_("imperial beer barrels of 36 imperial gallons"),
    sources=("UK-GALLON", "PRACTICE"),
    is_harmless=True,
    must_use_unit=True,
)

_per_ounce = Fixed("", value=ML_PER_US_FLUID_OUNCE.value)
_ounces = Measured(
    "V_oz", name="volume", says=_("volume"), unit="US fl oz", low=6, high=40, resolution=0.5, is_exact=True
)
_millilitres = Line.of("V", _per_ounce * _ounces, _("volume in millilitres"), unit="mL", decimals=1)
OUNCES = Calculation(
    code="C20-ounces",
    title=_("US fluid ounces to millilitres"),
    family=Family.CONVERSION,
    asks=_("A drawing of a can for export gives US fluid ounces. How many millilitres is that?"),
    givens=(_ounces,),
    steps=(_millilitres,),
    work=formulas.millilitres_from_fluid_ounces,
    slips=(
        Slip(
            _("took the imperial fluid ounce"),
            _("An imperial fluid ounce is 28.4 mL, a US one 29.57 mL. The can is for the US."),
            {_millilitres: LITRES_PER_IMPERIAL_GALLON.value * 1000 / 160 * _ounces},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("A fluid ounce is nearly 30 millilitres: multiply."),
            {_millilitres: _ounces / _per_ounce},
        ),
    ),
    # 29.6 in place of 29.5735, and whole millilitres as on the can.
    relative_spread=0.001,
    valid_for=_("US fluid ounces"),
    sources=("SP811",),
    is_harmless=True,
    must_use_unit=True,
)
