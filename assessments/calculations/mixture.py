"""Ethanol and water at 20 degrees Celsius, framework code C22."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import mixture as formulas
from assessments.formulas.constants import PURE_ETHANOL_DENSITY
from assessments.notation import Line, Node, Rule, polynomial
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_WATER = formulas.DENSITY_FACTORS[0]


def _density_steps(fraction: Node) -> tuple[Line, ...]:
    """Return the general formula, twelve terms, four to a step so that each fits on its line."""
    factors = formulas.DENSITY_FACTORS
    low = Line.of("a", polynomial(fraction, factors[:4]), _("first four terms"), unit="kg/m³", decimals=2)
    middle = Line.of("b", polynomial(fraction, factors[4:8]), _("next four terms"), unit="kg/m³", decimals=0)
    high = Line.of("c", polynomial(fraction, factors[8:]), _("last four terms"), unit="kg/m³", decimals=0)
    body = low + fraction**4 * (middle + fraction**4 * high)
    density = Line.of("ρ", body, _("density at 20 °C, as in the strength table"), unit="kg/m³", decimals=1)
    return low, middle, high, density


_by_weight = Measured("A", name="alcohol", says=_("alcohol by weight"), unit="% w/w", low=3, high=60, resolution=0.1)
_fraction = Line.of("p", _by_weight / 100, _("alcohol as a fraction by weight"), decimals=4)
_of_weight = _density_steps(_fraction)
DENSITY = Calculation(
    code="C22-density",
    title=_("Density of ethanol and water"),
    family=Family.FERMENTATION,
    asks=_("Read from the strength table, or work out: what does the mixture weigh at 20 °C?"),
    givens=(_by_weight,),
    steps=(_fraction, *_of_weight),
    work=formulas.mixture_density_kg_per_m3,
    slips=(
        Slip(
            _("entered by volume"),
            _("The same number by volume is less alcohol: see which column of the table you are in."),
            {_of_weight[-1]: Rule("{0} % vol", formulas.spirit_density_kg_per_m3, (_by_weight,))},
        ),
        Slip(
            _("went straight from water to ethanol"),
            _("The mixture shrinks, so density does not fall in a straight line: use the table."),
            {_of_weight[-1]: _WATER - (_WATER - PURE_ETHANOL_DENSITY.value) * _fraction},
        ),
    ),
    valid_for=_("ethanol and water only, 20 °C; not beer, which holds extract"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
)

_strength = Measured("ABV", name="strength", says=_("strength"), unit="% vol", low=4, high=60, resolution=0.1)
_share = Line.of(
    "A", Rule("strength table at {0} % vol", formulas.mixture_by_weight_pct, (_strength,)),
    _("alcohol by weight"), unit="% w/w", decimals=2,
)  # fmt: skip
_part = Line.of("p", _share / 100, _("alcohol as a fraction by weight"), decimals=4)
_of_volume = _density_steps(_part)
SPIRIT = Calculation(
    code="C22-spirit",
    title=_("Density of a spirit from its strength"),
    family=Family.FERMENTATION,
    asks=_("Flavour comes in a spirit. From the strength table: what does the spirit weigh at 20 °C?"),
    givens=(_strength,),
    steps=(_share, _part, *_of_volume),
    work=formulas.spirit_density_kg_per_m3,
    slips=(
        Slip(
            _("read by volume as by weight"),
            _("The same number by weight is more alcohol: use the column by volume."),
            {_share: _strength},
        ),
        Slip(
            _("went straight from water to ethanol"),
            _("The mixture shrinks, so density does not fall in a straight line: use the table."),
            {_of_volume[-1]: _WATER - (_WATER - PURE_ETHANOL_DENSITY.value) * _strength / 100},
        ),
    ),
    valid_for=_("ethanol and water only, 20 °C; not beer, which holds extract"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
)
