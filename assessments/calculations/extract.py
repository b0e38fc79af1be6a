"""Extract tables, framework code C35."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import extract as formulas
from assessments.formulas.constants import LITRES_PER_BEER_BARREL, WATER_DENSITY
from assessments.notation import Fixed, Line, polynomial
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_water = Fixed("", value=WATER_DENSITY.value)
_plato = Measured("P", name="extract", says=_("extract of the wort"), unit="°P", low=6, high=20, resolution=0.1)
_gravity_body = 1 + _plato / (258.6 - 227.1 * _plato / 258.2)
_gravity = Line.of("S", _gravity_body, _("specific gravity 20/20"), unit="SG", decimals=4)
GRAVITY = Calculation(
    code="C35-gravity",
    title=_("°P to specific gravity"),
    family=Family.FERMENTATION,
    asks=_("The recipe gives °P. What must the hydrometer show in specific gravity at 20 °C?"),
    givens=(_plato,),
    steps=(_gravity,),
    work=formulas.gravity_from_plato,
    slips=(
        Slip(
            _("added the extract as a percentage"),
            _("Sugar is not that heavy: one °P adds about 0.004, not 0.01."),
            {_gravity: 1 + _plato / 100},
        ),
        Slip(
            _("took °P for gravity points"),
            _("Four points make about one °P: 12 °P is near 1.048, not 1.012."),
            {_gravity: 1 + _plato / 1000},
        ),
        Slip(
            _("four points to a °P"),
            _("That rule of thumb falls short above 14 °P: use the table or the formula."),
            {_gravity: 1 + 4 * _plato / 1000},
            sometimes=True,
        ),
    ),
    valid_for=_("0 to 20 °P at 20 °C, within 0.00002 SG of the cubic fits to the tables"),
    sources=("PLATO-FORM", "NBS-C440"),
    cautions=(cautions.GLASS,),
)

_density = Line.of("ρ", 1000 * _water * _gravity, _("density at 20 °C"), unit="kg/m³", decimals=1)
DENSITY = Calculation(
    code="C35-density",
    title=_("Density of wort"),
    family=Family.FERMENTATION,
    asks=_("The flow meter needs the density of the wort at 20 °C. What do you enter?"),
    givens=(_plato,),
    steps=(_gravity, _density),
    work=formulas.wort_density_kg_per_m3,
    slips=(
        Slip(
            _("took water for 1000 kg/m³"),
            _("Gravity compares with water at 20 °C, and that weighs 998.2 kg/m³."),
            {_density: 1000 * _gravity},
        ),
        Slip(
            _("divided by the density of water"),
            _("Gravity times the density of water: multiply by 998.2."),
            {_density: 1000 * _gravity / _water},
        ),
        Slip(
            _("added the extract as a percentage"),
            _("Sugar is not that heavy: one °P adds about 4 kg/m³, not 10."),
            {_gravity: 1 + _plato / 100},
        ),
    ),
    valid_for=_("0 to 20 °P at 20 °C, within 0.05 kg/m³ of a published model for sucrose"),
    sources=("PLATO-FORM", "OIML-R22"),
    cautions=(cautions.HOT_LIQUOR,),
)

_per_hectolitre = Line.of("E", _water * _gravity * _plato, _("extract in a hectolitre"), unit="kg/hL", decimals=2)
EXTRACT = Calculation(
    code="C35-extract",
    title=_("Extract in a hectolitre"),
    family=Family.FERMENTATION,
    asks=_("How many kilograms of extract are in a hectolitre of this wort at 20 °C?"),
    givens=(_plato,),
    steps=(_gravity, _per_hectolitre),
    work=formulas.extract_kg_per_hl,
    slips=(
        Slip(
            _("density left out"),
            _("°P is kilograms in 100 kg of wort. A hectolitre weighs more than 100 kg: multiply by its density."),
            {_per_hectolitre: _plato},
        ),
        Slip(
            _("divided by the density"),
            _("A hectolitre weighs more than 100 kg, so there is more extract in it: multiply."),
            {_per_hectolitre: _plato / (_water * _gravity)},
        ),
    ),
    valid_for=_("0 to 20 °P at 20 °C"),
    sources=("PLATO-FORM", "MASS-BALANCE"),
    is_harmless=True,
)

_pounds = Line.of("E", (259 + _plato) * _plato / 100, _("extract in a barrel"), unit="lb/US bbl", decimals=1)
BARREL = Calculation(
    code="C35-barrel",
    title=_("Extract in a US beer barrel"),
    family=Family.FERMENTATION,
    asks=_("An export partner asks for pounds of extract in a US beer barrel. What do you give?"),
    givens=(_plato,),
    steps=(_pounds,),
    work=formulas.extract_lb_per_barrel,
    slips=(
        Slip(
            _("left the weight of the extract out"),
            _("A barrel of water weighs 259 lb; wort weighs about P pounds more. Add P first."),
            {_pounds: 259 * _plato / 100},
        ),
        Slip(
            _("added the extract twice"),
            _("Add P to 259 once, then multiply by P over 100."),
            {_pounds: (259 + 2 * _plato) * _plato / 100},
        ),
        Slip(
            _("gave kilograms"),
            _("A pound is 0.4536 kg, so there are more pounds than kilograms."),
            {_pounds: LITRES_PER_BEER_BARREL.value / 100 * _water * _gravity_body * _plato},
        ),
    ),
    # The rule of 259 lb against the mass balance.
    relative_spread=0.003,
    valid_for=_("0 to 20 °P, within 0.3 % of the mass balance"),
    sources=("BARREL-FORM",),
    is_harmless=True,
    must_use_unit=True,
)

_sugar = Measured(
    "P", name="extract", says=_("sugar in the test solution"), unit="°P", low=5, high=20, resolution=0.1, is_exact=True
)
_index = Line.of("n", polynomial(_sugar, formulas.REFRACTION), _("refractive index"), unit="nD", decimals=4)
REFRACTION = Calculation(
    code="C35-refraction",
    title=_("Check of a refractometer"),
    family=Family.FERMENTATION,
    asks=_("You check the refractometer with a sugar solution at 20 °C. Which refractive index must it show?"),
    givens=(_sugar,),
    steps=(_index,),
    work=formulas.refractive_index,
    slips=(
        Slip(
            _("started from 1"),
            _("Water bends light as well: start from 1.33299, what the instrument shows for water."),
            {_index: polynomial(_sugar, (1, *formulas.REFRACTION[1:]))},
        ),
        Slip(
            _("added a thousandth for each °P"),
            _("One °P adds about 0.0014, not 0.001."),
            {_index: formulas.REFRACTION[0] + _sugar / 1000},
        ),
        Slip(
            _("took the table of gravity"),
            _("Gravity and refractive index are two scales: 12 °P is 1.048 on the one, 1.351 on the other."),
            {_index: 1 + _sugar / (258.6 - 227.1 * _sugar / 258.2)},
        ),
    ),
    valid_for=_("0 to 20 °P at 20 °C, within 0.00002 nD of the ICUMSA table; not for fermenting beer"),
    sources=("ICUMSA-1974",),
    cautions=(cautions.GLASS,),
)
