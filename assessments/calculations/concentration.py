"""Concentrations by mass and by volume, framework code C20."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import concentration as formulas
from assessments.formulas.constants import CO2_PER_VOLUME
from assessments.notation import Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_wort_density = Measured(
    "ρ", name="density", says=_("density of the wort"), unit="kg/L", low=1.03, high=1.08, resolution=0.001
)
_concentration = Measured(
    "c", name="concentration", says=_("concentration"), unit="mg/L", low=20, high=200, resolution=0.1
)
_ppm = Line.of("w", _concentration / _wort_density, _("content by mass"), unit="mg/kg", decimals=1)
PPM = Calculation(
    code="C20-ppm",
    title=_("mg/L to ppm by mass"),
    family=Family.CONVERSION,
    asks=_("The laboratory reports calcium in wort in mg/L. How many ppm, in mg/kg, is that?"),
    givens=(_concentration, _wort_density),
    steps=(_ppm,),
    work=formulas.content_mg_per_kg,
    slips=(
        Slip(
            _("density left out"),
            _("Only where a litre weighs a kilogram are mg/L and ppm the same: divide by the density."),
            {_ppm: _concentration},
        ),
        Slip(
            _("multiplied by the density"),
            _("A litre of wort weighs more than a kilogram, so there is less in a kilogram: divide."),
            {_ppm: _concentration * _wort_density},
        ),
    ),
    valid_for=_("ppm by mass, 1 ppm = 1 mg/kg"),
    sources=("ARITHMETIC",),
    is_harmless=True,
    must_use_unit=True,
)

_content = Measured("w", name="content", says=_("content by mass"), unit="ppm", low=20, high=200, resolution=0.1)
_mg_per_litre = Line.of("c", _content * _wort_density, _("concentration"), unit="mg/L", decimals=1)
MG_PER_LITRE = Calculation(
    code="C20-mg_per_litre",
    title=_("ppm by mass to mg/L"),
    family=Family.CONVERSION,
    asks=_("The specification gives the calcium of wort in ppm by mass. How many mg/L is that?"),
    givens=(_content, _wort_density),
    steps=(_mg_per_litre,),
    work=formulas.concentration_mg_per_l,
    slips=(
        Slip(
            _("density left out"),
            _("Only where a litre weighs a kilogram are ppm and mg/L the same: multiply by the density."),
            {_mg_per_litre: _content},
        ),
        Slip(
            _("divided by the density"),
            _("A litre of wort weighs more than a kilogram, so there is more in a litre: multiply."),
            {_mg_per_litre: _content / _wort_density},
        ),
    ),
    valid_for=_("ppm by mass, 1 ppm = 1 mg/kg"),
    sources=("ARITHMETIC",),
    is_harmless=True,
    must_use_unit=True,
)

_beer_density = Measured(
    "ρ", name="density", says=_("density of the beer"), unit="kg/L", low=1.002, high=1.018, resolution=0.001
)
_oxygen = Measured("w", name="content", says=_("oxygen by mass"), unit="ppb", low=10, high=400, resolution=1)
_oxygen_per_litre = Line.of("c", _oxygen * _beer_density, _("oxygen by volume"), unit="µg/L", decimals=0)
PPB = Calculation(
    code="C20-ppb",
    title=_("Oxygen in ppb to µg/L"),
    family=Family.CONVERSION,
    asks=_("The oxygen meter shows ppb by mass. How many µg/L is that?"),
    givens=(_oxygen, _beer_density),
    steps=(_oxygen_per_litre,),
    work=formulas.concentration_ug_per_l,
    slips=(
        Slip(
            _("took ppb for ppm"),
            _("A billion is a thousand million: 1 ppb is 1 µg/kg, 1 ppm is 1 mg/kg."),
            {_oxygen_per_litre: 1000 * _oxygen * _beer_density},
        ),
        Slip(
            _("gave it for a hectolitre"),
            _("Asked is one litre: a hectolitre holds a hundred times as much."),
            {_oxygen_per_litre: 100 * _oxygen * _beer_density},
        ),
    ),
    valid_for=_("ppb by mass, 1 ppb = 1 µg/kg"),
    sources=("ARITHMETIC",),
    cautions=(cautions.CO2, cautions.PRESSURE),
    must_use_unit=True,
)

_by_weight = Measured("w", name="content", says=_("CO2 by weight"), unit="% w/w", low=0.3, high=0.7, resolution=0.01)
_grams = Line.of("c", 10 * _by_weight * _beer_density, _("CO2 in a litre"), unit="g/L", decimals=2)
PERCENT = Calculation(
    code="C20-percent",
    title=_("CO2 in per cent by weight to g/L"),
    family=Family.CONVERSION,
    asks=_("An older specification gives CO2 in per cent by weight. How many g/L is that?"),
    givens=(_by_weight, _beer_density),
    steps=(_grams,),
    work=formulas.concentration_g_per_l,
    slips=(
        Slip(
            _("left the factor 10 out"),
            _("1 % by weight is 1 g in 100 g, so 10 g in a kilogram."),
            {_grams: _by_weight * _beer_density},
        ),
        Slip(
            _("took per cent for volumes"),
            _("Volumes are another scale: 1 % by weight is about 5 volumes. Multiply by 10 and by the density."),
            {_grams: CO2_PER_VOLUME.value * _by_weight},
        ),
    ),
    valid_for=_("beer at the temperature at which its density was read"),
    sources=("ARITHMETIC",),
    cautions=(cautions.CO2,),
    must_use_unit=True,
)
