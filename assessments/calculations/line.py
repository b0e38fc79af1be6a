"""Line rate, framework code C09."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import line as formulas
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_good = Measured(
    "N", name="good", says=_("good units"), unit="units", low=20000, high=90000, resolution=100, is_exact=True
)
_hours = Measured("h", name="hours", says=_("full hours run"), unit="h", low=1, high=5, resolution=1, is_exact=True)
_minutes = Measured("min", name="minutes", says=_("and minutes"), unit="min", low=6, high=54, resolution=1)
_time = Line.of("t", _hours + _minutes / 60, _("running time in hours"), unit="h", decimals=3)
_rate = Line.of("q", _good / _time, _("good units an hour"), unit="units/h", decimals=0)
RATE = Calculation(
    code="C09-rate",
    title=_("Good units an hour"),
    family=Family.PACKAGING,
    asks=_("How many good units an hour did the line make?"),
    givens=(_good, _hours, _minutes),
    steps=(_time, _rate),
    work=lambda good, hours, minutes: formulas.good_rate_per_h(good, hours + minutes / 60),
    slips=(
        Slip(
            _("minutes as decimal hours"),
            _("30 minutes are 0.5 h, not 0.30 h: divide the minutes by 60."),
            {_time: _hours + _minutes / 100},
        ),
        Slip(
            _("left the minutes out"),
            _("Count the whole running time."),
            {_time: _hours},
        ),
        Slip(
            _("multiplied by the time"),
            _("Rate is units for each hour: divide by the hours."),
            {_rate: _good * _time},
        ),
    ),
    valid_for=_("running time without planned stops"),
    sources=("ARITHMETIC",),
    cautions=(cautions.MACHINE, cautions.GLASS),
    # Kept to four figures: the clock is read to the minute.
    relative_spread=0.0005,
)

_left = Measured(
    "N",
    name="units",
    says=_("units still to make"),
    unit="units",
    low=55000,
    high=160000,
    resolution=500,
    is_exact=True,
)
_filler = Measured(
    "q_f", name="rate", says=_("units filled an hour"), unit="units/h", low=12000, high=40000, resolution=500
)
_rejects = Measured("r", name="rejects", says=_("share rejected"), unit="%", low=3, high=8, resolution=0.5)
_net = Line.of("q", _filler * (1 - _rejects / 100), _("good units an hour"), unit="units/h", decimals=0)
_hours_left = Line.of("t", _left / _net, _("time left"), unit="h", decimals=2)
HOURS = Calculation(
    code="C09-hours",
    title=_("Hours left"),
    family=Family.PACKAGING,
    asks=_("How long will the rest of the order take?"),
    givens=(_left, _filler, _rejects),
    steps=(_net, _hours_left),
    work=lambda units, rate, rejects: formulas.hours_left_h(units, rate * (1 - rejects / 100)),
    slips=(
        Slip(
            _("rejects counted in"),
            _("Only good units fill the order: take the rejects off the rate."),
            {_net: _filler},
        ),
        Slip(
            _("added the rejects to the rate"),
            _("Rejects make the good rate smaller."),
            {_net: _filler * (1 + _rejects / 100)},
        ),
        Slip(
            _("turned the division over"),
            _("Units over units an hour gives hours."),
            {_hours_left: _net / _left},
        ),
    ),
    valid_for=_("a line that keeps its rate"),
    sources=("ARITHMETIC",),
    cautions=(cautions.MACHINE, cautions.GLASS),
)
