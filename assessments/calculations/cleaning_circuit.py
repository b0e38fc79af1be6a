"""More of cleaning, framework code C29: strengths by weight, topping up, titration, speed in the pipe."""

import math

from assessments.calculations import cautions
from assessments.calculations.cleaning import fits_the_drum
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import cleaning as formulas
from assessments.formulas.cleaning_checks import caustic_strength_pct, flow_for_speed_hl_per_h, flow_speed_m_per_s
from assessments.formulas.constants import CAUSTIC_MOLAR_MASS
from assessments.notation import Fixed, Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

#: How far from the density of caustic soda that of a liquor in a problem may lie, in kg/L.
_LIQUOR_FIT = 0.005


def _is_usual_strength(givens: Givens) -> bool:
    return 0.5 < caustic_strength_pct(*(number_in(givens, name) for name in givens)) < 4


def _is_usual_speed(givens: Givens) -> bool:
    return 0.8 < flow_speed_m_per_s(*(number_in(givens, name) for name in givens)) < 3


def _fits_drum_and_liquor(givens: Givens) -> bool:
    """Return whether the liquor's density goes with its strength as well as the drum's."""
    liquor = formulas.caustic_density_kg_per_l(number_in(givens, "target"))
    return fits_the_drum(givens) and abs(number_in(givens, "liquor") - liquor) < _LIQUOR_FIT


_batch = Measured("V_2", name="batch", says=_("liquor to make"), unit="L", low=400, high=2000, resolution=5)
_target = Measured(
    "C_2", name="target", says=_("strength wanted, by weight"), unit="% w/w", low=2, high=4, resolution=0.1,
    is_exact=True,
)  # fmt: skip
_liquor = Measured(
    "ρ_2", name="liquor", says=_("density of the liquor"), unit="kg/L", low=1.02, high=1.04, resolution=0.001,
    is_exact=True,
)  # fmt: skip
_stock = Measured(
    "C_1", name="stock", says=_("strength of the concentrate, by weight"), unit="% w/w", low=28, high=50,
    resolution=1, is_exact=True,
)  # fmt: skip
_density = Measured(
    "ρ_1", name="density", says=_("density of the concentrate"), unit="kg/L", low=1.3, high=1.52, resolution=0.01,
    is_exact=True,
)  # fmt: skip
_chemical = Line.of("m", _batch * _liquor * (_target / 100), _("pure chemical wanted"), unit="kg", decimals=2)
_per_litre = Line.of("b", _stock / 100 * _density, _("chemical in a litre of concentrate"), unit="kg/L", decimals=3)
_litres = Line.of("V_1", _chemical / _per_litre, _("concentrate"), unit="L", decimals=1)
STRENGTHS = Calculation(
    code="C29-densities",
    title=_("Concentrate by volume, strengths by weight"),
    family=Family.CLEANING,
    asks=_("Both strengths are by weight. How many litres of concentrate go into the batch?"),
    givens=(_batch, _target, _liquor, _stock, _density),
    steps=(_chemical, _per_litre, _litres),
    work=formulas.stock_volume_l,
    slips=(
        Slip(
            _("left both densities out"),
            _("Percent by weight counts kilograms: bring both volumes to kilograms first."),
            {_chemical: _batch * (_target / 100), _per_litre: _stock / 100},
        ),
        Slip(
            _("used the density of the concentrate only"),
            _("The liquor is heavier than water too: multiply its volume by its density."),
            {_chemical: _batch * (_target / 100)},
        ),
        Slip(
            _("multiplied by the density of the concentrate"),
            _("A heavier litre holds more chemical, so fewer litres are needed: divide."),
            {_per_litre: _stock / 100 / _density},
        ),
    ),
    valid_for=_("both strengths by weight, all at 20 °C"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CAUSTIC,),
    accepts=_fits_drum_and_liquor,
)

_tank = Measured("V", name="tank", says=_("liquor in the tank"), unit="L", low=500, high=3000, resolution=10)
_present = Measured("C_0", name="present", says=_("its strength"), unit="% w/v", low=1, high=1.8, resolution=0.01)
_wanted = Measured(
    "C_2", name="target", says=_("strength wanted"), unit="% w/v", low=2, high=2.5, resolution=0.1, is_exact=True
)
_short = Line.of("m", _tank * (_wanted - _present) / 100, _("pure chemical missing"), unit="kg", decimals=2)
_added = Line.of("V_1", _short / (_per_litre - _wanted / 100), _("concentrate to add"), unit="L", decimals=1)
TOP_UP = Calculation(
    code="C29-top_up",
    title=_("Bring the liquor back to strength"),
    family=Family.CLEANING,
    asks=_("The tank has grown weak. How many litres of concentrate bring it back?"),
    givens=(_tank, _present, _wanted, _stock, _density),
    steps=(_short, _per_litre, _added),
    work=formulas.strengthening_volume_l,
    slips=(
        Slip(
            _("took no account of what is in the tank"),
            _("The tank holds chemical already: make up the difference only."),
            {_short: _tank * _wanted / 100},
        ),
        Slip(
            _("density left out"),
            _("The drum is sold by weight: a litre of it weighs more than a kilogram, so you need fewer litres."),
            {_per_litre: _stock / 100},
        ),
        Slip(
            _("took the concentrate as 100 %"),
            _("Read the strength on the drum: more of a weaker concentrate is needed."),
            {_per_litre: _density * 1},
        ),
    ),
    valid_for=_("tank by weight per volume, concentrate by weight; volumes taken as additive"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CAUSTIC,),
    accepts=fits_the_drum,
)

_acid = Measured("V_a", name="acid", says=_("acid used"), unit="mL", low=8, high=40, resolution=0.05)
_normal = Measured(
    "c_a", name="acid_strength", says=_("acid, as acid hydrogen"), unit="mol/L", low=0.2, high=0.5, resolution=0.1,
    is_exact=True,
)  # fmt: skip
_sample = Measured("V_s", name="sample", says=_("sample"), unit="mL", low=5, high=25, resolution=5, is_exact=True)
_molar = Fixed("", value=CAUSTIC_MOLAR_MASS.value)
_moles = Line.of("n", _acid * _normal, _("acid, and so caustic"), unit="mmol", decimals=3)
_grams_per_litre = Line.of("c", _moles * _molar / _sample, _("caustic in the liquor"), unit="g/L", decimals=2)
_titrated = Line.of("C", _grams_per_litre / 10, _("strength of the liquor"), unit="% w/v", decimals=2)
TITRATION = Calculation(
    code="C29-titration",
    title=_("Caustic strength by titration"),
    family=Family.CLEANING,
    asks=_("The sample was titrated to the turn of the indicator. How strong is the caustic? NaOH is 40.00 g/mol."),
    givens=(_acid, _normal, _sample),
    steps=(_moles, _grams_per_litre, _titrated),
    work=caustic_strength_pct,
    slips=(
        Slip(
            _("used the molar mass of the acid"),
            _("The acid only counts the moles; what you ask for is caustic, 40.00 g to the mole."),
            {_grams_per_litre: _moles * 36.46 / _sample},
        ),
        Slip(
            _("strength of the acid left out"),
            _("Millilitres of acid are no amount yet: multiply by the acid's strength."),
            {_moles: _acid * 1},
        ),
        Slip(
            _("gave grams per litre as percent"),
            _("One percent by weight per volume is 10 g in a litre: divide by 10."),
            {_titrated: _grams_per_litre * 1},
        ),
    ),
    valid_for=_("hydrochloric acid; caustic soda alone: with phenolphthalein a carbonate counts half"),
    sources=("ATOMIC-MASS",),
    cautions=(cautions.CAUSTIC,),
    accepts=_is_usual_strength,
)

_flow = Measured("Q", name="flow", says=_("flow"), unit="m³/h", low=4, high=60, resolution=0.1)
_bore = Measured("d", name="bore", says=_("inner diameter"), unit="mm", low=25, high=100, resolution=1, is_exact=True)
_pi = Fixed("π", value=math.pi, decimals=4)
_section = Line.of("A", _pi * (_bore / 2000) ** 2, _("cross-section"), unit="m²", decimals=6)
_per_second = Line.of("Q_s", _flow / 3600, _("flow in a second"), unit="m³/s", decimals=6)
_speed = Line.of("v", _per_second / _section, _("speed in the pipe"), unit="m/s", decimals=2)
SPEED = Calculation(
    code="C29-speed",
    title=_("Speed in the pipe"),
    family=Family.CLEANING,
    asks=_("How fast does the cleaning liquor run in the pipe? About 2 m/s is wanted, at least 1.5."),
    givens=(_flow, _bore),
    steps=(_section, _per_second, _speed),
    work=flow_speed_m_per_s,
    slips=(
        Slip(
            _("took the diameter for the radius"),
            _("Halve the diameter before you square it."),
            {_section: _pi * (_bore / 1000) ** 2},
        ),
        Slip(
            _("did not square the radius"),
            _("An area takes the radius twice: square it."),
            {_section: _pi * (_bore / 2000)},
        ),
        Slip(
            _("left the hour in"),
            _("The speed is for a second: divide the flow by 3600."),
            {_per_second: _flow * 1},
        ),
    ),
    valid_for=_("a full round pipe"),
    sources=("GEOMETRY", "CIP-SPEED"),
    cautions=(cautions.HOT_CIRCUIT,),
    accepts=_is_usual_speed,
)

_asked = Measured(
    "v", name="speed", says=_("speed wanted"), unit="m/s", low=1.5, high=2.5, resolution=0.1, is_exact=True
)
_cubic_metres = Line.of("Q_m", 3600 * _asked * _section, _("flow"), unit="m³/h", decimals=2)
_hectolitres = Line.of("Q", 10 * _cubic_metres, _("flow in hectolitres"), unit="hL/h", decimals=0)
FLOW = Calculation(
    code="C29-flow",
    title=_("Flow for a speed"),
    family=Family.CLEANING,
    asks=_("What flow must the pump give, so that the liquor runs fast enough in the widest pipe?"),
    givens=(_asked, _bore),
    steps=(_section, _cubic_metres, _hectolitres),
    work=flow_for_speed_hl_per_h,
    slips=(
        Slip(
            _("took the diameter for the radius"),
            _("Halve the diameter before you square it."),
            {_section: _pi * (_bore / 1000) ** 2},
        ),
        Slip(
            _("did not square the radius"),
            _("An area takes the radius twice: square it."),
            {_section: _pi * (_bore / 2000)},
        ),
        Slip(
            _("gave cubic metres as hectolitres"),
            _("A cubic metre is 10 hectolitres."),
            {_hectolitres: _cubic_metres * 1},
        ),
    ),
    valid_for=_("a full round pipe"),
    sources=("GEOMETRY", "CIP-SPEED"),
    cautions=(cautions.HOT_CIRCUIT,),
    also_right=({_pi: Number(3.14)},),
)
