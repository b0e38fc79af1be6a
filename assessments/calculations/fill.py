"""Fill by weight, framework code C10."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import fill as formulas
from assessments.notation import Line, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

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
    valid_for=_("the density at 20 °C; the buoyancy of air is left out, which is 0.12 % at most"),
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
    is_harmless=True,
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
