"""Pace of a line, framework code C30: units a minute, volume an hour, time for a tank."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import line as formulas
from assessments.notation import Line, Scope, rounded_down
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_rate = Measured(
    "q",
    name="rate",
    says=_("units an hour"),
    unit="units/h",
    low=15000,
    high=48000,
    resolution=500,
    is_exact=True,
)
_per_minute = Line.of("q_m", _rate / 60, _("units a minute"), unit="units/min", decimals=0)
PER_MINUTE = Calculation(
    code="C30-per_minute",
    title=_("Units a minute"),
    family=Family.PACKAGING,
    asks=_("How many units pass in a minute?"),
    givens=(_rate,),
    steps=(_per_minute,),
    work=formulas.units_per_min,
    slips=(
        Slip(
            _("multiplied by 60"),
            _("A minute sees fewer units than an hour: divide."),
            {_per_minute: _rate * 60},
        ),
        Slip(
            _("gave units a second"),
            _("An hour has 60 minutes; 3600 are its seconds."),
            {_per_minute: _rate / 3600},
        ),
        Slip(
            _("took an hour for 100 minutes"),
            _("Time is no decimal measure: divide by 60."),
            {_per_minute: _rate / 100},
        ),
    ),
    valid_for=_("a machine that keeps its rate"),
    sources=("ARITHMETIC",),
    cautions=(cautions.MACHINE, cautions.GLASS),
)

_fill = Measured("V", name="fill", says=_("nominal fill"), unit="mL", low=250, high=750, resolution=10, is_exact=True)
_volume = Line.of("Q", _rate * _fill / formulas.ML_PER_HL, _("volume an hour"), unit="hL/h", decimals=1)
_MILLILITRES = Slip(
    _("millilitres taken as centilitres"),
    _("100 000 mL make a hectolitre, 10 000 cL do."),
    {_fill: 10 * _fill},
)
VOLUME = Calculation(
    code="C30-volume",
    title=_("Volume an hour"),
    family=Family.PACKAGING,
    asks=_("How much beer does the line take in an hour?"),
    givens=(_rate, _fill),
    steps=(_volume,),
    work=formulas.line_volume_hl_per_h,
    slips=(
        Slip(
            _("minutes for hours"),
            _("The rate is for an hour already: do not divide by 60."),
            {_rate: _rate / 60},
        ),
        _MILLILITRES,
        Slip(
            _("divided the rate by the fill"),
            _("Every container takes its fill: multiply."),
            {_volume: _rate / _fill},
        ),
    ),
    valid_for=_("full containers; losses at start and end come on top"),
    sources=("ARITHMETIC",),
    cautions=(cautions.MACHINE, cautions.GLASS),
)

_tank = Measured("V_t", name="tank", says=_("beer in the tank"), unit="hL", low=80, high=400, resolution=1)
_hours = Line.of("t_h", _tank / _volume, _("time in hours"), unit="h", decimals=3)
_time = Line.of("t", 60 * _hours, _("time in minutes"), unit="min", decimals=0)
EMPTYING = Calculation(
    code="C30-emptying",
    title=_("Time to empty a tank"),
    family=Family.PACKAGING,
    asks=_("In how many minutes is the tank empty?"),
    givens=(_tank, _rate, _fill),
    steps=(_volume, _hours, _time),
    work=lambda tank, rate, fill: formulas.emptying_min(tank, formulas.line_volume_hl_per_h(rate, fill)),
    slips=(
        Slip(
            _("decimals of an hour read as minutes"),
            _("0.45 h are 27 min, not 45: multiply the hours by 60."),
            {_time: 60 * rounded_down(_hours) + 100 * (_hours - rounded_down(_hours))},
            sometimes=True,
        ),
        Slip(
            _("turned the division over"),
            _("Volume over volume an hour gives hours."),
            {_hours: _volume / _tank},
        ),
        _MILLILITRES,
    ),
    valid_for=_("a line that keeps its rate; the last hectolitres run slower"),
    sources=("ARITHMETIC",),
    cautions=(cautions.MACHINE, cautions.PRESSURE),
    # At one hour just, the division may be turned over unnoticed.
    accepts=lambda givens: abs(Scope(givens).number_of(_hours) - 1) > 0.05,
)
