"""Cleaning liquor, framework code C08."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import cleaning as formulas
from assessments.notation import Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

#: How far from the density of caustic soda that of a drum in a problem may lie, in kg/L.
_DENSITY_FIT = 0.02
_batch_kg = Measured("m_2", name="batch", says=_("liquor to make"), unit="kg", low=400, high=2000, resolution=10)
_target = Measured(
    "C_2",
    name="target",
    says=_("strength wanted, by weight"),
    unit="% w/w",
    low=1,
    high=3,
    resolution=0.1,
    is_exact=True,
)
_stock = Measured(
    "C_1",
    name="stock",
    says=_("strength of the concentrate, by weight"),
    unit="% w/w",
    low=28,
    high=50,
    resolution=1,
    is_exact=True,
)
_mass = Line.of("m_1", _batch_kg * _target / _stock, _("concentrate"), unit="kg", decimals=1)
BY_WEIGHT = Calculation(
    code="C08-weight",
    title=_("Concentrate by weight"),
    family=Family.CLEANING,
    asks=_("How many kilograms of concentrate go into the batch?"),
    givens=(_batch_kg, _target, _stock),
    steps=(_mass,),
    work=formulas.concentrate_mass_kg,
    slips=(
        Slip(
            _("ratio upside down"),
            _("There is less concentrate than liquor: weak over strong."),
            {_mass: _batch_kg * _stock / _target},
        ),
        Slip(
            _("took the concentrate as 100 %"),
            _("Read the strength on the drum: more of a weaker concentrate is needed."),
            {_stock: Number(100)},
        ),
        Slip(
            _("gave the water in place of the concentrate"),
            _("Water is what is left: batch less concentrate."),
            {_mass: _batch_kg * (1 - _target / _stock)},
        ),
    ),
    valid_for=_("both strengths by weight"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CAUSTIC,),
)

_batch_l = Measured("V_2", name="batch", says=_("liquor to make"), unit="L", low=400, high=2000, resolution=10)
_target_wv = Measured(
    "C_2", name="target", says=_("strength wanted"), unit="% w/v", low=1, high=3, resolution=0.1, is_exact=True
)
_density = Measured(
    "ρ_1",
    name="density",
    says=_("density of the concentrate"),
    unit="kg/L",
    low=1.3,
    high=1.52,
    resolution=0.01,
    is_exact=True,
)
_chemical = Line.of("m", _batch_l * _target_wv / 100, _("pure chemical wanted"), unit="kg", decimals=2)
_per_litre = Line.of("b", _stock / 100 * _density, _("chemical in a litre of concentrate"), unit="kg/L", decimals=3)
_litres = Line.of("V_1", _chemical / _per_litre, _("concentrate"), unit="L", decimals=1)


def fits_the_drum(givens: Givens) -> bool:
    """Return whether strength and density of the concentrate go together as they do for caustic soda."""
    density = formulas.caustic_density_kg_per_l(number_in(givens, "stock"))
    return abs(number_in(givens, "density") - density) < _DENSITY_FIT


BY_VOLUME = Calculation(
    code="C08-volume",
    title=_("Concentrate by volume"),
    family=Family.CLEANING,
    asks=_("How many litres of concentrate go into the batch?"),
    givens=(_batch_l, _target_wv, _stock, _density),
    steps=(_chemical, _per_litre, _litres),
    work=formulas.concentrate_volume_l,
    slips=(
        Slip(
            _("density left out"),
            _("The drum is sold by weight: a litre of it weighs more than a kilogram, so you need fewer litres."),
            {_per_litre: _stock / 100},
        ),
        Slip(
            _("multiplied by the density"),
            _("A heavier litre holds more chemical, so fewer litres are needed: divide."),
            {_per_litre: _stock / 100 / _density},
        ),
        Slip(
            _("took the batch as water only"),
            _("The batch is the finished liquor, concentrate included."),
            {_litres: _chemical / (_per_litre - _target_wv / 100)},
            sometimes=True,
        ),
    ),
    valid_for=_("target by weight per volume, concentrate by weight"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CAUSTIC,),
    accepts=fits_the_drum,
)
