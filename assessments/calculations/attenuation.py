"""How far a beer has fermented, as laboratories report it, and the gas that left: framework code C22."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import fermentation as formulas
from assessments.formulas.alcohol import fermentation_gas_kg
from assessments.formulas.constants import ASBC_CORRECTION, CO2_PER_ALCOHOL, WATER_DENSITY
from assessments.notation import Fixed, Line, Scope
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_correction = Fixed("", value=ASBC_CORRECTION.value)
_original = Measured("OE", name="original", says=_("original extract"), unit="°P", low=9, high=18, resolution=0.1)
_real = Measured("RE", name="real", says=_("real extract"), unit="°P", low=3, high=6.5, resolution=0.01)
_plain = Line.of("R", 100 * (_original - _real) / _original, _("before the correction"), unit="%", decimals=2)
_corrected = Line.of("RDF", _plain / (1 - _correction * _real), _("real degree of fermentation"), unit="%", decimals=1)
CORRECTED = Calculation(
    code="C22-real_degree",
    title=_("Real degree of fermentation"),
    family=Family.FERMENTATION,
    asks=_("The laboratory reports the real degree of fermentation, with the correction. What is it?"),
    givens=(_original, _real),
    steps=(_plain, _corrected),
    work=formulas.corrected_attenuation_pct,
    slips=(
        Slip(
            _("multiplied by the correction"),
            _("The beer lost mass as gas, so the figure rises: divide by 1 − 0.005161 RE."),
            {_corrected: _plain * (1 - _correction * _real)},
        ),
        Slip(
            _("divided by the real extract"),
            _("Attenuation is a share of the original extract."),
            {_plain: 100 * (_original - _real) / _real},
        ),
        Slip(
            _("gave what is left, not what is gone"),
            _("Subtract first: original less real is what the yeast has taken."),
            {_plain: 100 * _real / _original},
        ),
        Slip(
            _("correction left out"),
            _("The beer lost mass as gas: divide by 1 − 0.005161 RE."),
            {_corrected: _plain},
            sometimes=True,
        ),
    ),
    valid_for=_("extracts in °P; in beers of 10 to 16 °P the correction adds one to two points"),
    sources=("ASBC-BEER6",),
    cautions=(cautions.CO2, cautions.TASTING),
    accepts=lambda givens: Scope(givens).number_of(_plain) >= 58,
)

_og = Measured("OG", name="original", says=_("original gravity"), unit="SG", low=1.036, high=1.07, resolution=0.001)
_fg = Measured("FG", name="final", says=_("gravity now"), unit="SG", low=1.006, high=1.014, resolution=0.001)
_by_gravity = Line.of("A", 100 * (_og - _fg) / (_og - 1), _("apparent attenuation"), unit="%", decimals=0)
BY_GRAVITY = Calculation(
    code="C22-by_gravity",
    title=_("Attenuation from two gravities"),
    family=Family.FERMENTATION,
    asks=_("The tank sheet holds gravities only. How far has the beer fermented?"),
    givens=(_og, _fg),
    steps=(_by_gravity,),
    work=formulas.gravity_attenuation_pct,
    slips=(
        Slip(
            _("divided by the whole gravity"),
            _("Water is no extract: divide by what lies above 1, such as 0.048."),
            {_by_gravity: 100 * (_og - _fg) / _og},
        ),
        Slip(
            _("divided by the gravity now"),
            _("Attenuation is a share of what was there at the start: divide by the original gravity less 1."),
            {_by_gravity: 100 * (_og - _fg) / (_fg - 1)},
        ),
        Slip(
            _("gave what is left, not what is gone"),
            _("Subtract first: original less present is what the yeast has taken."),
            {_by_gravity: 100 * (_fg - 1) / (_og - 1)},
        ),
    ),
    valid_for=_("gravities at 20 °C; up to 1.4 % of the extract above the attenuation by extract"),
    sources=("ARITHMETIC",),
    cautions=(cautions.CO2, cautions.TASTING),
)

_water = Fixed("", value=WATER_DENSITY.value)
_per_alcohol = Fixed("", value=CO2_PER_ALCOHOL.value)
_beer = Measured("V", name="beer", says=_("beer in the fermenter"), unit="hL", low=40, high=300, resolution=1)
_alcohol = Measured("A", name="alcohol", says=_("alcohol by weight"), unit="% w/w", low=3, high=6, resolution=0.01)
_gravity = Measured(
    "S", name="gravity", says=_("specific gravity of the beer"), unit="SG", low=1.006, high=1.018, resolution=0.001
)
_mass = Line.of("m_b", 100 * _beer * _water * _gravity, _("mass of the beer"), unit="kg", decimals=0)
_ethanol = Line.of("m_A", _mass * _alcohol / 100, _("alcohol formed"), unit="kg", decimals=0)
_gas = Line.of("m", _per_alcohol * _ethanol, _("CO2 formed"), unit="kg", decimals=0)
GAS = Calculation(
    code="C22-gas",
    title=_("CO2 from a fermentation"),
    family=Family.FERMENTATION,
    asks=_("How much CO2 did this fermentation set free?"),
    givens=(_beer, _alcohol, _gravity),
    steps=(_mass, _ethanol, _gas),
    work=fermentation_gas_kg,
    slips=(
        Slip(
            _("per cent not divided by 100"),
            _("Per cent means out of 100: divide by 100."),
            {_ethanol: _mass * _alcohol},
        ),
        Slip(
            _("hL taken as L"),
            _("A hectolitre is 100 litres."),
            {_mass: _beer * _water * _gravity},
        ),
        Slip(
            _("used the extract for each gram of alcohol"),
            _("2.0665 g of extract make a gram of alcohol; 0.9565 g of CO2 come with it."),
            {_gas: 2.0665 * _ethanol},
        ),
    ),
    # 0.96 in place of 0.9565.
    relative_spread=0.004,
    valid_for=_("all the CO2 formed; a few grams a litre stay in the beer"),
    sources=("BALLING",),
    cautions=(cautions.CO2, cautions.BEYOND_RULES),
)
