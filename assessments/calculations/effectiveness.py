"""Effectiveness of a line, framework code C30, in the terms of ISO 22400-2."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import effectiveness as formulas
from assessments.notation import Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_shift = Measured(
    "t_s", name="shift", says=_("length of the shift"), unit="min", low=450, high=600, resolution=10, is_exact=True
)
_breaks = Measured(
    "t_b", name="breaks", says=_("planned breaks"), unit="min", low=30, high=75, resolution=5, is_exact=True
)
_stops = Measured(
    "t_st", name="stops", says=_("stops that nobody planned"), unit="min", low=25, high=120, resolution=1
)
_busy = Line.of("PBT", _shift - _breaks, _("planned busy time"), unit="min", decimals=0)
_ran = Line.of("APT", _busy - _stops, _("actual production time"), unit="min", decimals=0)
_share = Line.of("A", 100 * _ran / _busy, _("availability"), unit="%", decimals=1)
AVAILABILITY = Calculation(
    code="C30-availability",
    title=_("Availability of a line"),
    family=Family.PACKAGING,
    asks=_("For which share of the planned time did the line run?"),
    givens=(_shift, _breaks, _stops),
    steps=(_busy, _ran, _share),
    work=lambda shift, breaks, stops: formulas.availability_pct(shift - breaks, shift - breaks - stops),
    slips=(
        Slip(
            _("breaks left in the planned time"),
            _("Nobody planned to run in the breaks: take them off the shift first."),
            {_busy: _shift},
        ),
        Slip(
            _("breaks counted as stops"),
            _("Divide by the planned time, not by the whole shift."),
            {_share: 100 * _ran / _shift},
        ),
        Slip(
            _("gave the share lost"),
            _("Availability is the time that ran, not the time that stood."),
            {_share: 100 * _stops / _busy},
        ),
    ),
    valid_for=_("one shift or order"),
    sources=("ISO-22400",),
    cautions=(cautions.MACHINE,),
)

_running = Measured(
    "APT", name="running", says=_("actual production time"), unit="min", low=330, high=415, resolution=1
)
_item = Measured(
    "PRI",
    name="item",
    says=_("planned run time for one unit"),
    unit="s",
    low=0.1,
    high=0.2,
    resolution=0.01,
    is_exact=True,
)
_produced = Measured(
    "PQ", name="produced", says=_("produced, rejects counted"), unit="units", low=90000, high=200000, resolution=50,
    is_exact=True,
)  # fmt: skip
_pace = Line.of("E", 100 * _item * _produced / (60 * _running), _("effectiveness"), unit="%", decimals=2)
_SECONDS = Slip(
    _("seconds and minutes mixed"),
    _("The run time of a unit is in seconds: bring the production time to seconds too."),
    {_pace: 100 * _item * _produced / _running},
)


def _is_likely_pace(givens: Givens) -> bool:
    item, produced, running = (number_in(givens, name) for name in ("item", "produced", "running"))
    return 60 < formulas.effectiveness_pct(item, produced, running) < 98


EFFECTIVENESS = Calculation(
    code="C30-effectiveness",
    title=_("Effectiveness of a line"),
    family=Family.PACKAGING,
    asks=_("How near did the line come to its planned pace while it ran?"),
    givens=(_item, _produced, _running),
    steps=(_pace,),
    work=formulas.effectiveness_pct,
    slips=(
        _SECONDS,
        Slip(
            _("turned the division over"),
            _("The time that the units needed by plan, over the time that they took."),
            {_pace: 100 * 60 * _running / (_item * _produced)},
        ),
        Slip(
            _("gave what is missing"),
            _("Effectiveness is what was reached, not what was lost."),
            {_pace: 100 - 100 * _item * _produced / (60 * _running)},
        ),
    ),
    valid_for=_("one kind of unit; above 100 % the planned run time is out of date"),
    sources=("ISO-22400",),
    cautions=(cautions.MACHINE,),
    accepts=_is_likely_pace,
)

_planned = Measured(
    "PBT", name="planned", says=_("planned busy time"), unit="min", low=420, high=480, resolution=5, is_exact=True
)
_rejected = Measured(
    "r", name="rejected", says=_("of these rejected"), unit="units", low=1500, high=9000, resolution=10, is_exact=True
)
_ran_share = Line.of("A", 100 * _running / _planned, _("availability"), unit="%", decimals=2)
_good = Line.of("Q", 100 * (_produced - _rejected) / _produced, _("quality ratio"), unit="%", decimals=2)
_overall = Line.of(
    "OEE", _ran_share * _pace * _good / 100**2, _("overall equipment effectiveness"), unit="%", decimals=1
)
OVERALL = Calculation(
    code="C30-overall",
    title=_("Overall equipment effectiveness"),
    family=Family.PACKAGING,
    asks=_("What was the overall equipment effectiveness of the line?"),
    givens=(_planned, _running, _item, _produced, _rejected),
    # It stands in two of the shares, and cancels.
    spare=("running",),
    steps=(_ran_share, _pace, _good, _overall),
    work=lambda planned, running, item, produced, rejected: formulas.overall_effectiveness_pct(
        formulas.availability_pct(planned, running),
        formulas.effectiveness_pct(item, produced, running),
        formulas.quality_pct(produced, rejected),
    ),
    slips=(
        Slip(
            _("averaged the three shares"),
            _("Each share takes from what the others left: multiply them."),
            {_overall: (_ran_share + _pace + _good) / 3},
        ),
        Slip(
            _("rejects counted as good"),
            _("Only good units count: take the rejects off."),
            {_good: Number(100)},
        ),
        _SECONDS,
    ),
    valid_for=_("availability, effectiveness and quality of one and the same time"),
    sources=("ISO-22400",),
    cautions=(cautions.MACHINE,),
    accepts=_is_likely_pace,
)
