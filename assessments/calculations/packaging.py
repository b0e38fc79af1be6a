"""Line rate (C09), fill by weight (C10), pasteurisation (C11), can seams (C12)."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import packaging as formulas
from assessments.formulas.constants import LETHAL_RATE_BASE, LETHAL_REFERENCE
from assessments.notation import Fixed, Line, Rule
from assessments.vocabulary import AnswerKind, Family
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
    low=20000,
    high=120000,
    resolution=500,
    is_exact=True,
)
_filler = Measured(
    "q_f", name="rate", says=_("units filled an hour"), unit="units/h", low=12000, high=40000, resolution=500
)
_rejects = Measured("r", name="rejects", says=_("share rejected"), unit="%", low=2, high=8, resolution=0.5)
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

_gross = Measured("m_g", name="gross", says=_("full container"), unit="g", low=505, high=545, resolution=0.1)
_tare = Measured(
    "m_t", name="tare", says=_("empty container with closure"), unit="g", low=178, high=205, resolution=0.1
)
_density = Measured(
    "ρ", name="density", says=_("density at 20 °C"), unit="g/mL", low=1.004, high=1.05, resolution=0.001
)
_net_mass = Line.of("m", _gross - _tare, _("net weight"), unit="g", decimals=1)
_volume = Line.of("V", _net_mass / _density, _("volume at 20 °C"), unit="mL", decimals=1)
_FILL_SLIPS = (
    Slip(
        _("multiplied by the density"),
        _("A heavier drink fills less room for the same weight: divide by the density."),
        {_volume: _net_mass * _density},
    ),
    Slip(
        _("density left out"),
        _("A gram is a millilitre only for water: divide by the density."),
        {_volume: _net_mass},
    ),
    Slip(
        _("tare left out"),
        _("Take the empty container off first."),
        {_net_mass: _gross},
    ),
)
FILL = Calculation(
    code="C10-fill",
    title=_("Fill by weight"),
    family=Family.PACKAGING,
    asks=_("What volume is in the container?"),
    givens=(_gross, _tare, _density),
    steps=(_net_mass, _volume),
    work=formulas.fill_volume_ml,
    slips=_FILL_SLIPS,
    valid_for=_("the density at 20 °C; the buoyancy of air is left out"),
    sources=("DIR-76-211", "ARITHMETIC"),
    cautions=(cautions.GLASS,),
)

_nominal = Measured(
    "Q_n", name="nominal", says=_("content on the label"), unit="mL", low=200, high=1000, resolution=5, is_exact=True
)
_tne = Line.of(
    "TNE",
    Rule("table, at {0}", formulas.tolerable_negative_error_ml, (_nominal,)),
    _("tolerable negative error: the table's step, or its percentage rounded up to 0.1 mL"),
    unit="mL",
    decimals=1,
)
_least = Line.of(
    "Q_min", _nominal - _tne, _("least content of a container that is no defective"), unit="mL", decimals=1
)


def _by_the_next_row(nominal: float) -> float:
    rows = formulas.ERROR_STEPS
    row = next(place for place, (bound, _share, _step) in enumerate(rows) if nominal <= bound)
    return formulas.error_by_row_ml(nominal, min(row + 1, len(rows) - 1))


LEAST = Calculation(
    code="C10-least",
    title=_("Least fill under the tolerable negative error"),
    family=Family.PACKAGING,
    asks=_("Below which volume is a single container of this size a defective?"),
    givens=(_nominal,),
    steps=(_tne, _least),
    work=lambda nominal: nominal - formulas.tolerable_negative_error_ml(nominal),
    slips=(
        Slip(
            _("took the row of the next size"),
            _("200 to 300 mL: 9 mL. 300 to 500 mL: 3 %. 500 to 1000 mL: 15 mL. A bound belongs to both rows."),
            {_tne: Rule("next row, at {0}", _by_the_next_row, (_nominal,))},
            sometimes=True,
        ),
        Slip(
            _("took twice the error"),
            _("Below twice the error a container may not be sold at all; a defective begins at once the error."),
            {_tne: 2 * _tne},
        ),
        Slip(
            _("added the error"),
            _("The error is what may be missing: subtract it."),
            {_least: _nominal + _tne},
        ),
    ),
    valid_for=_("packs of 5 mL to 10 L, all of one nominal content"),
    sources=("DIR-76-211",),
)

_judged = Line.of(
    "fill",
    Rule("{0} mL against {1} mL", formulas.fill_judgement, (_volume, _nominal)),
    _("what the container is"),
)


def _one_step_milder(volume: float, nominal: float) -> str:
    error = formulas.tolerable_negative_error_ml(nominal)
    return formulas.fill_judgement(volume + error if nominal - volume > error else volume, nominal)


def _is_near_a_limit(givens: Givens) -> bool:
    """Return whether the volume lies within 8 % of nominal, yet no closer to a limit than the scale can tell."""
    gross, tare, density, nominal = (number_in(givens, name) for name in ("gross", "tare", "density", "nominal"))
    short = nominal - formulas.fill_volume_ml(gross, tare, density)
    error = formulas.tolerable_negative_error_ml(nominal)
    return -0.02 < short / nominal < 0.08 and min(abs(short - limit) for limit in (0, error, 2 * error)) > 0.5


JUDGEMENT = Calculation(
    code="C10-judgement",
    title=_("Judge one fill"),
    family=Family.PACKAGING,
    asks=_("Weigh, work out the volume, and judge the container."),
    givens=(_gross, _tare, _density, _nominal),
    steps=(_net_mass, _volume, _judged),
    work=lambda gross, tare, density, nominal: formulas.fill_judgement(
        formulas.fill_volume_ml(gross, tare, density), nominal
    ),
    slips=(
        *(Slip(slip.name, slip.advice, slip.replaces, sometimes=True) for slip in _FILL_SLIPS[:2]),
        Slip(
            _("took twice the error for once"),
            _("Once the error makes a defective; twice the error must not leave the plant."),
            {
                _judged: Rule(
                    "{0} mL against {1} mL, at twice the error",
                    _one_step_milder,
                    (_volume, _nominal),
                )
            },
            sometimes=True,
        ),
    ),
    valid_for=_("one container of 5 mL to 10 L; a batch must also keep its mean"),
    sources=("DIR-76-211",),
    cautions=(cautions.GLASS,),
    kind=AnswerKind.CHOICE,
    options=(formulas.AT_NOMINAL, formulas.WITHIN_ERROR, formulas.BEYOND_ERROR, formulas.BEYOND_TWICE),
    accepts=_is_near_a_limit,
)

_time_held = Measured(
    "t", name="minutes", says=_("time held"), unit="min", low=5, high=25, resolution=0.5, is_exact=True
)
_temperature = Measured("T", name="temperature", says=_("beer"), unit="°C", low=61, high=66, resolution=0.1)
_base = Fixed("", value=LETHAL_RATE_BASE.value)
_above = Line.of("ΔT", _temperature - LETHAL_REFERENCE.value, _("degrees above 60"), unit="°C difference", decimals=1)
_units = Line.of("PU", _time_held * _base**_above, _("pasteurisation units"), unit="PU", decimals=1)
PASTEURISATION = Calculation(
    code="C11-units",
    title=_("Pasteurisation units"),
    family=Family.PACKAGING,
    asks=_("How many pasteurisation units did the hold give?"),
    givens=(_time_held, _temperature),
    steps=(_above, _units),
    work=formulas.pasteurisation_units_pu,
    slips=(
        Slip(
            _("exponent times instead of power"),
            _("Each degree multiplies the rate by 1.393 again: raise to the power, do not multiply."),
            {_units: _time_held * _base * _above},
        ),
        Slip(
            _("sign of T − 60"),
            _("Hotter than 60 °C kills faster: temperature less 60."),
            {_above: LETHAL_REFERENCE.value - _temperature},
        ),
        Slip(
            _("left the time out"),
            _("Units grow with time: multiply by the minutes."),
            {_units: _base**_above},
        ),
    ),
    valid_for=_("beer from 50 to 75 °C at a steady temperature"),
    sources=("DEL-VECCHIO",),
    cautions=(cautions.HOT_LIQUOR, cautions.GLASS),
)

_body_hook = Measured("BH", name="body_hook", says=_("body hook"), unit="mm", low=1.6, high=2, resolution=0.01)
_cover_hook = Measured("CH", name="cover_hook", says=_("cover hook"), unit="mm", low=1.5, high=1.85, resolution=0.01)
_end = Measured("T_e", name="end", says=_("end plate"), unit="mm", low=0.2, high=0.24, resolution=0.01)
_length = Measured("SL", name="seam_length", says=_("seam length"), unit="mm", low=2.4, high=2.6, resolution=0.01)
_thickness = Measured(
    "ST", name="seam_thickness", says=_("seam thickness"), unit="mm", low=1.1, high=1.25, resolution=0.01
)
_overlap = Line.of("O", _body_hook + _cover_hook + _end - _length, _("overlap"), unit="mm", decimals=2)
OVERLAP = Calculation(
    code="C12-overlap",
    title=_("Seam overlap"),
    family=Family.PACKAGING,
    asks=_("How far do the hooks overlap?"),
    givens=(_body_hook, _cover_hook, _end, _length, _thickness),
    steps=(_overlap,),
    work=lambda body_hook, cover_hook, end, seam_length, seam_thickness: formulas.seam_overlap_mm(
        body_hook, cover_hook, end, seam_length
    ),
    slips=(
        Slip(
            _("end thickness left out"),
            _("The cover hook bends round the end plate: add its thickness."),
            {_overlap: _body_hook + _cover_hook - _length},
        ),
        Slip(
            _("seam thickness used for length"),
            _("Length is the height of the seam, the longer of the two."),
            {_length: _thickness},
        ),
        Slip(
            _("left the seam length in"),
            _("The hooks together are longer than the seam: what is over is the overlap."),
            {_overlap: _body_hook + _cover_hook + _end},
        ),
    ),
    valid_for=_("one cross-section; the worst of the readings counts"),
    sources=("SEAM",),
    cautions=(cautions.SHARP_EDGES,),
)

_body = Measured("T_b", name="body", says=_("body plate"), unit="mm", low=0.1, high=0.16, resolution=0.01)
_room = Line.of("L", _length - (2 * _end + _body), _("room inside the seam"), unit="mm", decimals=2)
_percent = Line.of("O_%", 100 * _overlap / _room, _("overlap as a share of the room"), unit="%", decimals=1)
OVERLAP_SHARE = Calculation(
    code="C12-percent",
    title=_("Seam overlap in percent"),
    family=Family.PACKAGING,
    asks=_("How large is the overlap as a share of the room inside the seam?"),
    givens=(_body_hook, _cover_hook, _end, _length, _body),
    steps=(_overlap, _room, _percent),
    work=lambda body_hook, cover_hook, end, seam_length, body: formulas.seam_overlap_pct(
        formulas.seam_overlap_mm(body_hook, cover_hook, end, seam_length), seam_length, end, body
    ),
    slips=(
        Slip(
            _("divided by the seam length"),
            _("The plates take room too: take two end plates and the body plate off the seam length."),
            {_room: _length},
        ),
        Slip(
            _("end thickness left out of the overlap"),
            _("The cover hook bends round the end plate: add its thickness."),
            {_overlap: _body_hook + _cover_hook - _length},
        ),
        Slip(
            _("divided by the body hook"),
            _("The overlap is a share of the room inside the seam, not of the hook."),
            {_room: _body_hook},
        ),
    ),
    valid_for=_("without the factor 1.1 on plate thickness that some makers use"),
    sources=("SEAM",),
    cautions=(cautions.SHARP_EDGES,),
)
