"""Change of units: temperature and volume, framework code C01."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import conversion as formulas
from assessments.formulas.constants import FAHRENHEIT_PER_CELSIUS, LITRES_PER_US_GALLON
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_factor = Fixed("", value=FAHRENHEIT_PER_CELSIUS.value)
_fahrenheit = Measured(
    "F",
    name="temperature",
    says=_("reading of the thermometer"),
    unit="°F",
    low=34,
    high=210,
    resolution=1,
    is_exact=True,
)
_less_32 = Line.of("d", _fahrenheit - 32, _("degrees above freezing"), unit="°F difference")
_celsius = Line.of("t", _less_32 / _factor, _("temperature"), unit="°C", decimals=1)
TEMPERATURE = Calculation(
    code="C01-temperature",
    title=_("Fahrenheit to Celsius"),
    family=Family.CONVERSION,
    asks=_("The thermometer on an older tank reads in degrees Fahrenheit. What is that in degrees Celsius?"),
    givens=(_fahrenheit,),
    steps=(_less_32, _celsius),
    work=formulas.celsius_from_fahrenheit,
    slips=(
        Slip(
            _("forgot to subtract 32"),
            _("Freezing is 32 °F: take 32 off first, then divide by 1.8."),
            {_less_32: _fahrenheit},
        ),
        Slip(
            _("multiplied instead of divided"),
            _("A degree Celsius is larger, so the number gets smaller: divide by 1.8."),
            {_celsius: _less_32 * _factor},
        ),
        Slip(
            _("subtracted 32 after dividing"),
            _("The 32 are degrees Fahrenheit: take them off before you divide."),
            {_celsius: _fahrenheit / _factor - 32},
        ),
    ),
    valid_for=_("any temperature"),
    sources=("SP811",),
    cautions=(cautions.HOT_LIQUOR,),
    must_use_unit=True,
)

_centigrade = Measured(
    "t", name="temperature", says=_("temperature"), unit="°C", low=1, high=99, resolution=0.5, is_exact=True
)
_scaled = Line.of("d", _factor * _centigrade, _("degrees above freezing"), unit="°F difference", decimals=1)
_to_fahrenheit = Line.of("F", _scaled + 32, _("temperature"), unit="°F", decimals=1)
FAHRENHEIT = Calculation(
    code="C01-fahrenheit",
    title=_("Celsius to Fahrenheit"),
    family=Family.CONVERSION,
    asks=_("The recipe gives degrees Celsius; the controller is set in degrees Fahrenheit. What do you set?"),
    givens=(_centigrade,),
    steps=(_scaled, _to_fahrenheit),
    work=formulas.fahrenheit_from_celsius,
    slips=(
        Slip(
            _("forgot to add 32"),
            _("Freezing is 0 °C and 32 °F: multiply by 1.8, then add 32."),
            {_to_fahrenheit: _scaled},
        ),
        Slip(
            _("added 32 before multiplying"),
            _("Multiply first. The 32 are degrees Fahrenheit already."),
            {_to_fahrenheit: _factor * (_centigrade + 32)},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("Degrees Fahrenheit are smaller, so there are more of them: multiply by 1.8."),
            {_scaled: _centigrade / _factor},
        ),
    ),
    valid_for=_("any temperature"),
    sources=("SP811",),
    cautions=(cautions.HOT_LIQUOR,),
    must_use_unit=True,
)

_difference = Measured(
    "Δt", name="difference", says=_("difference of two temperatures"), unit="°C difference", low=2, high=30,
    resolution=0.5, is_exact=True,
)  # fmt: skip
_difference_f = Line.of("ΔF", _factor * _difference, _("difference"), unit="°F difference", decimals=1)
DIFFERENCE = Calculation(
    code="C01-difference",
    title=_("A temperature difference in Fahrenheit"),
    family=Family.CONVERSION,
    asks=_("Wort warms by this much on its way. By how many degrees Fahrenheit is that?"),
    givens=(_difference,),
    steps=(_difference_f,),
    work=formulas.fahrenheit_difference,
    slips=(
        Slip(
            _("added 32 to a difference"),
            _("32 is where the scale starts. A difference has no start: multiply by 1.8 and stop."),
            {_difference_f: _factor * _difference + 32},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("Degrees Fahrenheit are smaller, so there are more of them: multiply by 1.8."),
            {_difference_f: _difference / _factor},
        ),
    ),
    valid_for=_("differences of two temperatures, never a temperature itself"),
    sources=("SP811",),
    is_harmless=True,
    must_use_unit=True,
)

_litres_per_gallon = Fixed("", value=LITRES_PER_US_GALLON.value)
_gallons = Measured(
    "V_gal", name="volume", says=_("volume"), unit="US gal", low=200, high=5000, resolution=10, is_exact=True
)
_litres = Line.of("V_L", _litres_per_gallon * _gallons, _("volume in litres"), unit="L", decimals=0)
_hectolitres = Line.of("V", _litres / 100, _("volume in hectolitres"), unit="hL", decimals=1)
VOLUME = Calculation(
    code="C01-volume",
    title=_("US gallons to hectolitres"),
    family=Family.CONVERSION,
    asks=_("A syrup tank is marked in US gallons. How many hectolitres does it hold?"),
    givens=(_gallons,),
    steps=(_litres, _hectolitres),
    work=formulas.hectolitres_from_us_gallons,
    slips=(
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres: divide the litres by 100."),
            {_hectolitres: _litres},
        ),
        Slip(
            _("took the imperial gallon"),
            _("A US gallon is 3.785 L, an imperial gallon 4.546 L. Read the plate on the tank."),
            {_litres: 4.54609 * _gallons},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("A gallon holds more than a litre, so there are more litres: multiply by 3.785."),
            {_litres: _gallons / _litres_per_gallon},
        ),
    ),
    # 3.785 or 3.79 in place of 3.785412.
    relative_spread=0.0015,
    valid_for=_("US liquid gallons"),
    sources=("SP811",),
    is_harmless=True,
    must_use_unit=True,
)
