"""Ethanol and water at 20 degrees Celsius, framework code C22."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import mixture as formulas
from assessments.formulas.constants import PURE_ETHANOL_DENSITY
from assessments.notation import Line, Rule, polynomial
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_WATER = formulas.DENSITY_FACTORS[0]
_by_weight = Measured("A", name="alcohol", says=_("alcohol by weight"), unit="% w/w", low=3, high=60, resolution=0.1)
_fraction = Line.of("p", _by_weight / 100, _("alcohol as a fraction by weight"), unit="fraction", decimals=4)
_density = Line.of(
    "ρ", polynomial(_fraction, formulas.DENSITY_FACTORS), _("density at 20 °C, by table or formula"), unit="kg/m³",
    decimals=1,
)  # fmt: skip
DENSITY = Calculation(
    code="C22-density",
    title=_("Density of ethanol and water"),
    family=Family.FERMENTATION,
    asks=_("Read from the strength table, or work out: what does the mixture weigh at 20 °C?"),
    givens=(_by_weight,),
    steps=(_fraction, _density),
    work=formulas.mixture_density_kg_per_m3,
    slips=(
        Slip(
            _("entered by volume"),
            _("The same number by volume is less alcohol: see which column of the table you are in."),
            {_density: Rule("{0} % vol", formulas.spirit_density_kg_per_m3, (_by_weight,))},
        ),
        Slip(
            _("went straight from water to ethanol"),
            _("The mixture shrinks, so density does not fall in a straight line: use the table."),
            {_density: _WATER - (_WATER - PURE_ETHANOL_DENSITY.value) * _fraction},
        ),
    ),
    valid_for=_("ethanol and water only, 20 °C; not beer, which holds extract"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
)

_strength = Measured("ABV", name="strength", says=_("strength"), unit="% vol", low=4, high=60, resolution=0.1)
_share = Line.of(
    "A", Rule("by weight, from the strength table at {0} % vol", formulas.mixture_by_weight_pct, (_strength,)),
    _("alcohol by weight"), unit="% w/w", decimals=2,
)  # fmt: skip
_part = Line.of("p", _share / 100, _("alcohol as a fraction by weight"), unit="fraction", decimals=4)
_spirit = Line.of(
    "ρ", polynomial(_part, formulas.DENSITY_FACTORS), _("density at 20 °C, by table or formula"), unit="kg/m³",
    decimals=1,
)  # fmt: skip
SPIRIT = Calculation(
    code="C22-spirit",
    title=_("Density of a spirit from its strength"),
    family=Family.FERMENTATION,
    asks=_("Flavour comes in a spirit. From the strength table: what does the spirit weigh at 20 °C?"),
    givens=(_strength,),
    steps=(_share, _part, _spirit),
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
            {_spirit: _WATER - (_WATER - PURE_ETHANOL_DENSITY.value) * _strength / 100},
        ),
    ),
    valid_for=_("ethanol and water only, 20 °C; not beer, which holds extract"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
)
