"""Energy value on the label, framework code C32."""

from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import energy as formulas
from assessments.formulas.constants import ETHANOL_DENSITY
from assessments.formulas.energy import KCAL_PER_G, KJ_PER_G
from assessments.notation import Fixed, Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_density = Fixed("", value=ETHANOL_DENSITY.value)
_strength = Measured("a", name="strength", says=_("strength"), unit="% vol", low=3.5, high=8, resolution=0.1)
_carbohydrate = Measured(
    "c", name="carbohydrate", says=_("carbohydrate"), unit="g/100 mL", low=1.5, high=5.5, resolution=0.1
)
_protein = Measured("p", name="protein", says=_("protein"), unit="g/100 mL", low=0.2, high=0.8, resolution=0.1)
_alcohol = Line.of("m_e", _strength * _density, _("alcohol"), unit="g/100 mL", decimals=3)
_AS_GRAMS = Slip(
    _("took % vol for grams"),
    _("100 mL hold as many millilitres of ethanol as the strength says: times 0.789 gives grams."),
    {_alcohol: _strength},
)
_LEFT_OUT = Slip(
    _("alcohol left out"),
    _("Alcohol brings most of the energy of beer: count it."),
    {_alcohol: Number(0)},
)
_energy = Line.of(
    "E",
    KJ_PER_G["alcohol"] * _alcohol + KJ_PER_G["carbohydrate"] * (_carbohydrate + _protein),
    _("energy"),
    unit="kJ/100 mL",
    decimals=0,
)
_calories = Line.of(
    "E",
    KCAL_PER_G["alcohol"] * _alcohol + KCAL_PER_G["carbohydrate"] * (_carbohydrate + _protein),
    _("energy"),
    unit="kcal/100 mL",
    decimals=0,
)
ENERGY = Calculation(
    code="C32-energy",
    title=_("Energy of beer in kilojoules"),
    family=Family.LABELLING,
    asks=_("How many kilojoules do 100 mL bring?"),
    givens=(_strength, _carbohydrate, _protein),
    steps=(_alcohol, _energy),
    work=formulas.energy_kj_per_100ml,
    slips=(
        _AS_GRAMS,
        _LEFT_OUT,
        Slip(
            _("used the factors for kilocalories"),
            _("Kilojoules: 29 for alcohol, 17 for carbohydrate and protein."),
            {_energy: _calories},
        ),
    ),
    valid_for=_("drinks without fat, fibre or acids to speak of; ethanol of 0.789 g/mL is rounded, within 0.1 %"),
    sources=("REG-1169-XIV", "FSANZ-271"),
    is_harmless=True,
    must_use_unit=True,
    also_right=({_density: Number(0.79)},),
)
CALORIES = Calculation(
    code="C32-calories",
    title=_("Energy of beer in kilocalories"),
    family=Family.LABELLING,
    asks=_("How many kilocalories do 100 mL bring, by the factors of the law?"),
    givens=(_strength, _carbohydrate, _protein),
    steps=(_alcohol, _calories),
    work=formulas.energy_kcal_per_100ml,
    slips=(
        _AS_GRAMS,
        _LEFT_OUT,
        Slip(
            _("used the factors for kilojoules"),
            _("Kilocalories: 7 for alcohol, 4 for carbohydrate and protein."),
            {_calories: _energy},
        ),
    ),
    valid_for=_("drinks without fat, fibre or acids to speak of; within 1.6 % of the kilojoules over 4.184"),
    sources=("REG-1169-XIV", "FSANZ-271"),
    is_harmless=True,
    must_use_unit=True,
    also_right=({_density: Number(0.79)},),
)

_cider = Measured("a", name="strength", says=_("strength"), unit="% vol", low=3.5, high=12, resolution=0.1)
_sugar = Measured("s", name="sugar", says=_("sugar"), unit="g/L", low=3, high=60, resolution=0.5)
_acid = Measured("q", name="acid", says=_("organic acids"), unit="g/L", low=3, high=9, resolution=0.1)
_polyols = Measured(
    "w", name="polyols", says=_("polyols, such as sorbitol"), unit="g/L", low=2, high=12, resolution=0.5
)
_cider_alcohol = Line.of("m_e", _cider * _density, _("alcohol"), unit="g/100 mL", decimals=3)
_solids = KJ_PER_G["carbohydrate"] * _sugar + KJ_PER_G["acid"] * _acid + KJ_PER_G["polyols"] * _polyols
_others = Line.of("E_s", _solids / 10, _("energy of sugar, acids and polyols"), unit="kJ/100 mL", decimals=1)
_cider_energy = Line.of("E", KJ_PER_G["alcohol"] * _cider_alcohol + _others, _("energy"), unit="kJ/100 mL", decimals=0)
CIDER = Calculation(
    code="C32-cider",
    title=_("Energy of cider and fruit wine"),
    family=Family.LABELLING,
    asks=_("The analysis is in grams a litre. How many kilojoules do 100 mL bring?"),
    givens=(_cider, _sugar, _acid, _polyols),
    steps=(_cider_alcohol, _others, _cider_energy),
    work=formulas.cider_energy_kj_per_100ml,
    slips=(
        Slip(
            _("grams a litre used as grams in 100 mL"),
            _("100 mL are a tenth of a litre: divide by 10."),
            {_others: _solids},
        ),
        Slip(
            _("took % vol for grams"),
            _("100 mL hold as many millilitres of ethanol as the strength says: times 0.789 gives grams."),
            {_cider_alcohol: _cider},
        ),
        Slip(
            _("counted the alcohol alone"),
            _("Sugar, acids and polyols bring energy too."),
            {_others: Number(0)},
        ),
    ),
    valid_for=_("drinks without fat, fibre or protein to speak of; ethanol of 0.789 g/mL"),
    sources=("REG-1169-XIV", "FSANZ-271"),
    is_harmless=True,
    must_use_unit=True,
    also_right=({_density: Number(0.79)},),
)
