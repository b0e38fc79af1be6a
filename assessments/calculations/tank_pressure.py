"""Pressure over the beer, framework code C24: the chart in °F and psi, the air at altitude, the gauge to set."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import tank_pressure as formulas
from assessments.formulas.constants import (
    CHART_ATMOSPHERE,
    HENRY_OFFSET,
    HENRY_SLOPE,
    STANDARD_ATMOSPHERE,
    ZERO_CELSIUS,
)
from assessments.notation import Fixed, Line, Node, Number, exponential
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_fahrenheit = Measured("F", name="temperature", says=_("beer"), unit="°F", low=34, high=50, resolution=0.5)
_gauge = Measured("p_g", name="pressure", says=_("head pressure"), unit="psi gauge", low=6, high=24, resolution=0.5)
_absolute = Line.of("p_abs", _gauge + CHART_ATMOSPHERE.value, _("absolute pressure"), unit="psi absolute", decimals=2)
_cooled = Line.of("x", exponential(-((_fahrenheit - 32) / 43.11)), _("what the temperature leaves"), decimals=4)
_per_psi = Line.of("k", 0.01821 + 0.090115 * _cooled, _("volumes for each psi"), unit="vol/psi", decimals=5)
_volumes = Line.of("V", _absolute * _per_psi - 0.003342, _("CO2 in the beer"), unit="vol", decimals=2)
CHART = Calculation(
    code="C24-chart",
    title=_("Volumes from °F and psi"),
    family=Family.CARBONATION,
    asks=_("The tank is at rest under CO2, at sea level. How many volumes does the beer hold?"),
    givens=(_fahrenheit, _gauge),
    steps=(_absolute, _cooled, _per_psi, _volumes),
    work=formulas.co2_volumes_by_chart,
    slips=(
        Slip(
            _("took gauge for absolute"),
            _("Beer feels the whole pressure: add the pressure of the air to the gauge."),
            {_absolute: _gauge * 1},
        ),
        Slip(
            _("put °C on the °F scale"),
            _("The chart counts in °F: turn the reading over before you use it."),
            {_fahrenheit: (_fahrenheit - 32) / 1.8},
        ),
        Slip(
            _("added 1 for the air, as in bar"),
            _("The air presses with 1 bar, and that is 14.7 psi: add in the unit of the gauge."),
            {_absolute: _gauge + STANDARD_ATMOSPHERE.value},
        ),
    ),
    valid_for=_("30 to 60 °F, 0 to 30 psi, at sea level; 2.4 to 3.6 % below CO2 in pure water"),
    sources=("ASBC-BEER13",),
    cautions=(cautions.CO2, cautions.PRESSURE),
    # The form in °C and bar runs up to 1.6 % higher.
    relative_spread=0.01,
)


def _thinned(altitude: Node) -> Line:
    """Return the step that tells how the air thins with height."""
    return Line.of("q", 1 - 2.25577 * Number(10) ** -5 * altitude, _("how the air thins"), decimals=5)


def _air_over(thinned: Line) -> Line:
    pressure = STANDARD_ATMOSPHERE.value * thinned**5.25588
    return Line.of("p_atm", pressure, _("pressure of the air"), unit="bar absolute", decimals=3)


_altitude = Measured(
    "z", name="altitude", says=_("height above the sea"), unit="m", low=300, high=2600, resolution=10, is_exact=True
)
_thin = _thinned(_altitude)
_air = _air_over(_thin)
ALTITUDE = Calculation(
    code="C24-altitude",
    title=_("Pressure of the air at altitude"),
    family=Family.CARBONATION,
    asks=_("The plant lies in the hills. What is the pressure of the air that you add to a gauge?"),
    givens=(_altitude,),
    steps=(_thin, _air),
    work=formulas.air_pressure_bar,
    slips=(
        Slip(
            _("took the air at sea level"),
            _("The air is thinner up here: work it out for your height once, and write it beside the gauge."),
            {_air: Fixed("", value=STANDARD_ATMOSPHERE.value)},
        ),
        Slip(
            _("took feet for metres"),
            _("The formula counts in metres: a metre is 3.28 feet."),
            {_altitude: _altitude / 0.3048},
        ),
        Slip(
            _("took 0.1 bar off for each 1000 m"),
            _("That rule is 1.5 % out at 1000 m already: use the formula."),
            {_air: STANDARD_ATMOSPHERE.value - _altitude / 10000},
        ),
    ),
    valid_for=_("standard air up to 5000 m, to 0.06 %; the weather moves it by 3 %"),
    sources=("USSA1976",),
    cautions=(cautions.PRESSURE,),
    also_right=({_air: 1.013 / STANDARD_ATMOSPHERE.value * _air},),
)

_wanted = Measured(
    "c", name="target", says=_("CO2 wanted"), unit="g/L", low=4.6, high=5.6, resolution=0.1, is_exact=True
)
_celsius = Measured("t", name="temperature", says=_("beer"), unit="°C", low=1, high=10, resolution=0.1)
_site = Measured(
    "z", name="altitude", says=_("height above the sea"), unit="m", low=600, high=2600, resolution=10, is_exact=True,
    usual=0,
)  # fmt: skip
_thin_here = _thinned(_site)
_air_here = _air_over(_thin_here)
_kelvin = Line.of("T", _celsius + ZERO_CELSIUS.value, _("temperature in kelvin"), unit="K", decimals=2)
_per_bar = Line.of(
    "k", 10 * exponential(HENRY_SLOPE.value / _kelvin - HENRY_OFFSET.value), _("CO2 for each bar"), unit="g/L/bar",
    decimals=3,
)  # fmt: skip
_needed = Line.of("p_abs", _wanted / _per_bar, _("absolute pressure needed"), unit="bar absolute", decimals=3)
_set = Line.of("p_g", _needed - _air_here, _("pressure to set"), unit="bar gauge", decimals=2)
SETTING = Calculation(
    code="C24-setting",
    title=_("Head pressure to set"),
    family=Family.CARBONATION,
    asks=_("What must the gauge read, so that beer at rest comes to its target up here?"),
    givens=(_wanted, _celsius, _site),
    steps=(_thin_here, _air_here, _kelvin, _per_bar, _needed, _set),
    work=formulas.gauge_for_co2_bar,
    slips=(
        Slip(
            _("took the air at sea level"),
            _("Thinner air helps less, so the gauge must read more: use the pressure of the air at your height."),
            {_air_here: Fixed("", value=STANDARD_ATMOSPHERE.value)},
        ),
        Slip(
            _("set the absolute pressure on the gauge"),
            _("The gauge reads zero in open air: take the pressure of the air off."),
            {_set: _needed * 1},
        ),
        Slip(
            _("added the pressure of the air"),
            _("From absolute to gauge the pressure of the air comes off."),
            {_set: _needed + _air_here},
        ),
    ),
    valid_for=_("beer at rest from −1 to 25 °C, no air in the head space; up to 0.04 bar above what pure water needs"),
    sources=("MEBAK-CO2", "USSA1976"),
    cautions=(cautions.CO2, cautions.PRESSURE),
    # The chart in use elsewhere runs up to 2 % lower.
    relative_spread=0.01,
)
