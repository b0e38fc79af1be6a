"""Units and standard drinks on the label, framework code C32."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, Word
from assessments.formulas import alcohol_labels as formulas
from assessments.formulas.constants import ETHANOL_DENSITY, UK_UNIT, US_DRINK
from assessments.notation import Fixed, Line, Number, Rule
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_volume = Measured("V", name="volume", says=_("content"), unit="mL", low=250, high=750, resolution=10, is_exact=True)
_strength = Measured(
    "a", name="strength", says=_("strength on the label"), unit="% vol", low=3, high=9, resolution=0.1, is_exact=True
)
_unit = Fixed("", value=UK_UNIT.value)
_density = Fixed("", value=ETHANOL_DENSITY.value)
_ethanol = Line.of("V_e", _volume * _strength / 100, _("ethanol"), unit="mL", decimals=2)
_uk = Line.of("n", _ethanol / _unit, _("UK units"), unit="units", decimals=1)
_CAUTIONS = (cautions.TASTING,)
UK_UNITS = Calculation(
    code="C32-uk_units",
    title=_("UK units of alcohol"),
    family=Family.LABELLING,
    asks=_("How many UK units of alcohol does the container hold?"),
    givens=(_volume, _strength),
    steps=(_ethanol, _uk),
    work=formulas.uk_units,
    slips=(
        Slip(
            _("divided millilitres by the 8 g of a unit"),
            _("A unit is 10 mL or 8 g: keep to one of them."),
            {_uk: _ethanol / 8},
        ),
        Slip(
            _("counted the unit as 10 g"),
            _("The UK unit is 10 mL of ethanol, which weighs about 8 g."),
            {_uk: _ethanol * _density / _unit},
        ),
    ),
    valid_for=_("20 °C; a unit of 10 mL of ethanol"),
    sources=("UK-UNIT",),
    cautions=_CAUTIONS,
)

_country = Word(
    "country",
    name="country",
    says=_("country, and ethanol in a drink there"),
    options=tuple(formulas.DRINK_GRAMS),
    shares=(2, 1, 1, 2),
)
_drink = Line.of(
    "m_d", Rule("drink in {0}", lambda country: formulas.DRINK_GRAMS[country], (_country,)),
    _("ethanol in a standard drink"), unit="g", decimals=2,
)  # fmt: skip
_mass = Line.of("m_e", _ethanol * _density, _("mass of the ethanol"), unit="g", decimals=2)
_drinks = Line.of("n", _mass / _drink, _("standard drinks"), unit="drinks", decimals=2)


def _another_drink(country: str) -> float:
    grams = formulas.DRINK_GRAMS
    return next(other for other in grams.values() if other != grams[country])


STANDARD_DRINKS = Calculation(
    code="C32-standard_drinks",
    title=_("Standard drinks by mass"),
    family=Family.LABELLING,
    asks=_("How many standard drinks does the container hold in this country?"),
    givens=(_volume, _strength, _country),
    steps=(_ethanol, _mass, _drink, _drinks),
    work=lambda volume, strength, country: formulas.standard_drinks(volume, strength, formulas.DRINK_GRAMS[country]),
    slips=(
        Slip(
            _("density left out"),
            _("The drink is a mass: a millilitre of ethanol weighs 0.789 g."),
            {_mass: _ethanol},
        ),
        Slip(
            _("divided by the density"),
            _("Mass is volume times density."),
            {_mass: _ethanol / _density},
        ),
        Slip(
            _("took another country's drink"),
            _("Australia, New Zealand and Ireland count 10 g, Canada 13.45 g."),
            {_drink: Rule("not that of {0}", _another_drink, (_country,))},
        ),
    ),
    valid_for=_("20 °C; ethanol of 0.789 g/mL, 0.03 % below OIML R 22; Canada's drink is from memory"),
    sources=("FSANZ-271",),
    cautions=_CAUTIONS,
    also_right=({_density: Number(0.79)},),
)

_ounces = Measured(
    "V", name="volume", says=_("content"), unit="US fl oz", low=8, high=25.5, resolution=0.5, is_exact=True
)
_us_drink = Fixed("", value=US_DRINK.value)
_us_ethanol = Line.of("V_e", _ounces * _strength / 100, _("ethanol"), unit="US fl oz", decimals=3)
_us = Line.of("n", _us_ethanol / _us_drink, _("US standard drinks"), unit="drinks", decimals=2)
US_DRINKS = Calculation(
    code="C32-us_drinks",
    title=_("US standard drinks"),
    family=Family.LABELLING,
    asks=_("How many US standard drinks does the container hold?"),
    givens=(_ounces, _strength),
    steps=(_us_ethanol, _us),
    work=formulas.us_drinks,
    slips=(
        Slip(
            _("multiplied by 0.6"),
            _("0.6 US fl oz of ethanol make one drink: divide."),
            {_us: _us_ethanol * _us_drink},
        ),
        Slip(
            _("counted UK units"),
            _("A UK unit is 10 mL of ethanol, a US drink 0.6 US fl oz, about 17.7 mL."),
            {_us: _us_ethanol * 29.5735 / _unit},
        ),
        Slip(
            _("took an ounce for a drink"),
            _("A drink is 0.6 US fl oz of ethanol, not a whole one."),
            {_us: _us_ethanol},
        ),
    ),
    valid_for=_("20 °C; a drink of 0.6 US fl oz of ethanol"),
    sources=("US-DRINK",),
    cautions=_CAUTIONS,
)
