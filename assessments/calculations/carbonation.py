"""Carbonation, framework code C05."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import carbonation as formulas
from assessments.formulas.constants import CO2_PER_VOLUME, HENRY_OFFSET, HENRY_SLOPE, STANDARD_ATMOSPHERE, ZERO_CELSIUS
from assessments.notation import Fixed, Line, exponential
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_per_volume = Fixed("", value=CO2_PER_VOLUME.value)
_volumes = Measured("V", name="volumes", says=_("volumes of CO2"), unit="vol", low=1.8, high=3.2, resolution=0.05)
_grams = Line.of("c", _per_volume * _volumes, _("CO2 in the beer"), unit="g/L", decimals=2)
VOLUMES = Calculation(
    code="C05-volumes",
    title=_("Volumes of CO2 to g/L"),
    family=Family.CARBONATION,
    asks=_("The specification gives volumes of CO2. How many grams per litre is that?"),
    givens=(_volumes,),
    steps=(_grams,),
    work=formulas.co2_g_per_l_from_volumes,
    slips=(
        Slip(
            _("divided instead of multiplied"),
            _("One volume is nearly two grams per litre, so the number gets larger: multiply."),
            {_grams: _volumes / _per_volume},
        ),
        Slip(
            _("used 1.69"),
            _("The factor is 1.96: say it digit by digit."),
            {_grams: 1.69 * _volumes},
        ),
    ),
    valid_for=_("volumes at 0 °C and 1 atm; 1.96 g/L is rounded, up to 1 % below a real gas of 1.977 g/L"),
    sources=("PRACTICE",),
    cautions=(cautions.CO2,),
    must_use_unit=True,
    # Factors from 1.96 to 1.98 are in use.
    relative_spread=0.01,
)

_temperature = Measured("t", name="temperature", says=_("beer"), unit="°C", low=0, high=14, resolution=0.1)
_gauge = Measured("p_g", name="pressure", says=_("head pressure"), unit="bar gauge", low=0.5, high=2, resolution=0.05)
_air = Measured(
    "p_atm", name="atmosphere", says=_("pressure of the air"), unit="bar absolute", low=0.95, high=1.03,
    resolution=0.01, usual=STANDARD_ATMOSPHERE.value,
)  # fmt: skip
_absolute = Line.of("p_abs", _gauge + _air, _("absolute pressure"), unit="bar absolute", decimals=2)
_kelvin = Line.of("T", _temperature + ZERO_CELSIUS.value, _("temperature in kelvin"), unit="K", decimals=2)
_factor = Line.of(
    "k", 10 * exponential(HENRY_SLOPE.value / _kelvin - HENRY_OFFSET.value), _("CO2 for each bar"), unit="g/L/bar",
    decimals=3,
)  # fmt: skip
_dissolved = Line.of("c", _absolute * _factor, _("CO2 in the beer"), unit="g/L", decimals=2)
PRESSURE = Calculation(
    code="C05-pressure",
    title=_("CO2 from temperature and pressure"),
    family=Family.CARBONATION,
    asks=_("The tank is at rest under CO2. How much CO2 does the beer hold?"),
    givens=(_temperature, _gauge, _air),
    steps=(_absolute, _kelvin, _factor, _dissolved),
    work=formulas.dissolved_co2_g_per_l,
    slips=(
        Slip(
            _("took gauge for absolute"),
            _("Beer feels the whole pressure: add the pressure of the air to the gauge."),
            {_absolute: _gauge},
        ),
        Slip(
            _("added the atmosphere twice"),
            _("The gauge reads zero in open air: add the pressure of the air once."),
            {_absolute: _gauge + 2 * _air},
        ),
        Slip(
            _("left the factor 10 out"),
            _("Check the size: beer holds about 2.7 g/L for each bar at 4 °C."),
            {_factor: exponential(HENRY_SLOPE.value / _kelvin - HENRY_OFFSET.value)},
        ),
    ),
    valid_for=_("beer at rest from −1 to 25 °C, with no air in the head space; 1.3 to 4.5 % below CO2 in pure water"),
    sources=("MEBAK-CO2", "USSA1976"),
    cautions=(cautions.CO2, cautions.PRESSURE),
    # The chart in use elsewhere runs up to 2 % lower.
    relative_spread=0.01,
)
