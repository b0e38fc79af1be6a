"""Yield of the brewhouse, framework code C21."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import yields as formulas
from assessments.formulas.constants import HOT_WORT_FACTOR, WATER_DENSITY
from assessments.notation import Fixed, Line, Scope
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_water = Fixed("", value=WATER_DENSITY.value)
_hot = Fixed("", value=HOT_WORT_FACTOR.value)
_plato = Measured("P", name="extract", says=_("extract of the wort"), unit="°P", low=11, high=13, resolution=0.1)
_gravity = Measured(
    "S", name="gravity", says=_("its specific gravity"), unit="SG", low=1.043, high=1.054, resolution=0.0001
)
_grist = Measured("m", name="grist", says=_("grist"), unit="kg", low=1500, high=1800, resolution=5)


def _gravity_belongs(scope: Scope) -> bool:
    """Return whether gravity and extract are of one wort: about 0.004 for each degree."""
    per_degree = (scope.number_of(_gravity) - 1) / scope.number_of(_plato)
    return 0.0039 <= per_degree <= 0.0043


_hot_wort = Measured(
    "V", name="wort", says=_("hot wort when boiling ends"), unit="hL", low=90, high=110, resolution=0.5
)
_hot_extract = Line.of("m_E", _hot * _hot_wort * _gravity * _plato, _("extract won"), unit="kg", decimals=0)
_yield = Line.of("Y", 100 * _hot_extract / _grist, _("brewhouse yield"), unit="%", decimals=1)
YIELD = Calculation(
    code="C21-yield",
    title=_("Brewhouse yield from hot wort"),
    family=Family.BREWHOUSE,
    asks=_("What part of the grist is in the hot wort as extract?"),
    givens=(_hot_wort, _plato, _gravity, _grist),
    steps=(_hot_extract, _yield),
    work=formulas.brewhouse_yield_pct,
    slips=(
        Slip(
            _("the factor 0.96 left out"),
            _("Hot wort shrinks as it cools, and trub is no wort: multiply by 0.96."),
            {_hot_extract: _hot_wort * _gravity * _plato},
        ),
        Slip(
            _("density left out"),
            _("°P is kilograms in 100 kg of wort. A hectolitre weighs more: multiply by the gravity."),
            {_hot_extract: _hot * _hot_wort * _plato},
        ),
        Slip(
            _("ratio inverted"),
            _("Yield is what was won over what was put in: divide by the grist."),
            {_yield: 100 * _grist / _hot_extract},
        ),
    ),
    valid_for=_("hot wort at the end of the boil; cold wort needs no 0.96"),
    sources=("KUNZE",),
    cautions=(cautions.HOT_LIQUOR,),
    accepts=lambda givens: _gravity_belongs(Scope(givens)) and 65 <= Scope(givens).number_of(_yield) <= 82,
)

_cold_wort = Measured("V", name="wort", says=_("cold wort"), unit="hL", low=40, high=200, resolution=0.5)
_mass = Line.of("m_w", 100 * _cold_wort * _water * _gravity, _("mass of the wort"), unit="kg", decimals=0)
_won = Line.of("m_E", _mass * _plato / 100, _("extract won"), unit="kg", decimals=0)
WON = Calculation(
    code="C21-won",
    title=_("Extract in the fermenter"),
    family=Family.BREWHOUSE,
    asks=_("How many kilograms of extract came into the fermenter?"),
    givens=(_cold_wort, _plato, _gravity),
    steps=(_mass, _won),
    work=formulas.extract_won_kg,
    slips=(
        Slip(
            _("density left out"),
            _("°P is kilograms in 100 kg of wort. A hectolitre weighs more than 100 kg: multiply by its density."),
            {_mass: 100 * _cold_wort},
        ),
        Slip(
            _("divided by the gravity"),
            _("Wort is heavier than water: multiply the volume by its gravity."),
            {_mass: 100 * _cold_wort * _water / _gravity},
        ),
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres."),
            {_mass: _cold_wort * _water * _gravity},
        ),
    ),
    valid_for=_("wort at 20 °C"),
    sources=("MASS-BALANCE", "OIML-R22"),
    cautions=(cautions.CO2,),
    accepts=lambda givens: _gravity_belongs(Scope(givens)),
)

_extract_won = Measured(
    "m_E", name="won", says=_("extract in the fermenter"), unit="kg", low=1000, high=1300, resolution=5
)
_potential = Measured(
    "e", name="potential", says=_("laboratory extract of the grist, as it is"), unit="% w/w", low=74, high=81,
    resolution=0.5,
)  # fmt: skip
_available = Line.of("m_a", _grist * _potential / 100, _("extract in the grist"), unit="kg", decimals=0)
_efficiency = Line.of("η", 100 * _extract_won / _available, _("efficiency"), unit="%", decimals=1)
EFFICIENCY = Calculation(
    code="C21-efficiency",
    title=_("Efficiency of the brewhouse"),
    family=Family.BREWHOUSE,
    asks=_("How much of the extract that the laboratory found has the brewhouse won?"),
    givens=(_extract_won, _grist, _potential),
    steps=(_available, _efficiency),
    work=formulas.extract_efficiency_pct,
    slips=(
        Slip(
            _("gave the yield of the grist"),
            _("Efficiency compares with what the laboratory found, not with the whole grist."),
            {_available: _grist},
        ),
        Slip(
            _("ratio inverted"),
            _("What was won goes on top: it cannot be more than what was there."),
            {_efficiency: 100 * _available / _extract_won},
        ),
    ),
    valid_for=_("extracts on one basis, as it is; more than 100 % is a wrong reading"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.MALT_DUST,),
    accepts=lambda givens: 80 <= Scope(givens).number_of(_efficiency) <= 96,
)

_brew = Measured(
    "V", name="wort", says=_("cold wort wanted"), unit="hL", low=20, high=120, resolution=1, is_exact=True
)
_recipe = Measured(
    "P", name="extract", says=_("extract wanted"), unit="°P", low=11, high=13, resolution=0.1, is_exact=True
)
_its_gravity = Measured(
    "S", name="gravity", says=_("the gravity that belongs to it"), unit="SG", low=1.043, high=1.054, resolution=0.0001,
    is_exact=True,
)  # fmt: skip
_expected = Measured(
    "η", name="efficiency", says=_("efficiency of the brewhouse"), unit="%", low=86, high=93.5, resolution=0.5,
    is_exact=True,
)  # fmt: skip
_needed = Line.of("m_E", _brew * _water * _its_gravity * _recipe, _("extract needed"), unit="kg", decimals=0)
_from_each = Line.of("y", _expected / 100 * (_potential / 100), _("won from each kilogram"), unit="kg/kg", decimals=4)
_mash_in = Line.of("m", _needed / _from_each, _("grist"), unit="kg", decimals=0)
GRIST = Calculation(
    code="C21-grist",
    title=_("Grist for a brew"),
    family=Family.BREWHOUSE,
    asks=_("How much grist does the brew need?"),
    givens=(_brew, _recipe, _its_gravity, _expected, _potential),
    steps=(_needed, _from_each, _mash_in),
    work=formulas.grist_mass_kg,
    slips=(
        Slip(
            _("density left out"),
            _("°P is kilograms in 100 kg of wort. A hectolitre weighs more: multiply by its density."),
            {_needed: _brew * _recipe},
        ),
        Slip(
            _("efficiency left out"),
            _("The brewhouse wins less than the laboratory: divide by the efficiency too."),
            {_from_each: _potential / 100},
        ),
        Slip(
            _("multiplied by the laboratory extract"),
            _("Not all of the grist is extract, so it takes more grist than extract: divide."),
            {_mash_in: _needed * _from_each},
        ),
    ),
    valid_for=_("wort at 20 °C, laboratory extract as it is"),
    sources=("MASS-BALANCE", "GRIST-NOTE"),
    cautions=(cautions.MALT_DUST, cautions.MACHINE),
    accepts=lambda givens: (
        0.0039 <= (Scope(givens).number_of(_its_gravity) - 1) / Scope(givens).number_of(_recipe) <= 0.0043
    ),
)
