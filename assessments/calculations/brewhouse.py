"""Mashing: starch conversion (C02), strike water (C03), temperature of the mash (C21)."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip, Word
from assessments.formulas import brewhouse as formulas
from assessments.formulas.constants import HEAT_RATIO_GRIST_TO_WATER
from assessments.notation import Fixed, Line, Rule, Scope
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_sample = Word(
    "sample", name="sample", says=_("sample when the drop was taken"), options=("cooled", "hot"), shares=(4, 1)
)
_drop = Word("drop", name="drop", says=_("drop on the plate"), options=("clear", "with husk"), shares=(4, 1))
_colour = Word(
    "colour",
    name="colour",
    says=_("colour with iodine"),
    options=(formulas.YELLOW, formulas.RED, formulas.BLUE),
)
_judgement = Line.of(
    "mash",
    Rule("{0}; {1}; {2}", formulas.iodine_reading, (_sample, _drop, _colour)),
    _("what the mash is"),
)


_WRONG_WAY_ROUND = {formulas.YELLOW: formulas.STARCH_LEFT, formulas.BLUE: formulas.CONVERTED}


def _by_colour_alone(colour: str) -> str:
    return formulas.iodine_reading("cooled", "clear", colour)


def _wrong_way_round(sample: str, drop: str, colour: str) -> str:
    return _WRONG_WAY_ROUND.get(colour) or formulas.iodine_reading(sample, drop, colour)


def _red_as_converted(sample: str, drop: str, colour: str) -> str:
    return formulas.CONVERTED if colour == formulas.RED else formulas.iodine_reading(sample, drop, colour)


IODINE = Calculation(
    code="C02-iodine",
    title=_("Read the iodine test"),
    family=Family.BREWHOUSE,
    asks=_("A drop of mash met a drop of iodine. What do you report?"),
    givens=(_sample, _drop, _colour),
    steps=(_judgement,),
    work=formulas.iodine_reading,
    slips=(
        Slip(
            _("read the colour of a spoilt sample"),
            _("A hot drop shows no colour and a husk stays dark. Cool the sample, keep husk out, test again."),
            {_judgement: Rule("{0}", _by_colour_alone, (_colour,))},
            sometimes=True,
        ),
        Slip(
            _("took the colour the wrong way round"),
            _("Iodine itself is yellow-brown. If it stays so, no starch is left; blue or black is starch."),
            {_judgement: Rule("{0}; {1}; {2}", _wrong_way_round, (_sample, _drop, _colour))},
            sometimes=True,
        ),
        Slip(
            _("called red converted"),
            _("Red to violet means large dextrins: hold the rest a little longer and test again."),
            {_judgement: Rule("{0}; {1}; {2}", _red_as_converted, (_sample, _drop, _colour))},
            sometimes=True,
        ),
    ),
    valid_for=_("a cooled, husk-free drop"),
    sources=("MEBAK-IODINE", "PRACTICE"),
    cautions=(cautions.IODINE, cautions.HOT_LIQUOR),
    kind=AnswerKind.CHOICE,
    options=(formulas.CONVERTED, formulas.DEXTRINS_LEFT, formulas.STARCH_LEFT, formulas.NO_READING),
)

_ratio = Measured("R", name="ratio", says=_("water to grist by mass"), unit="kg/kg", low=2.5, high=4, resolution=0.01)
_first_wort = Measured(
    "P", name="extract", says=_("extract of the first wort"), unit="°P", low=15, high=21, resolution=0.1
)
_potential = Measured(
    "e", name="potential", says=_("extract of the grist, as a fraction"), unit="fraction", low=0.76, high=0.82,
    resolution=0.005, is_exact=True,
)  # fmt: skip
_conversion = Line.of(
    "C", 100 * _ratio * _first_wort / (_potential * (100 - _first_wort)), _("share converted"), unit="%", decimals=1
)
CONVERSION = Calculation(
    code="C02-conversion",
    title=_("Conversion from the first wort"),
    family=Family.BREWHOUSE,
    asks=_("How much of the extract in the grist has gone into the first wort?"),
    givens=(_ratio, _first_wort, _potential),
    steps=(_conversion,),
    work=formulas.conversion_pct,
    slips=(
        Slip(
            _("ratio inverted"),
            _("R is water over grist, more than 1: multiply by it."),
            {_ratio: 1 / _ratio},
        ),
        Slip(
            _("used P in place of 100 − P"),
            _("P kilograms of extract come with 100 − P kilograms of water: divide by 100 − P."),
            {_conversion: 100 * _ratio * _first_wort / (_potential * _first_wort)},
        ),
        Slip(
            _("divided by 100 in place of 100 − P"),
            _("The extract is dissolved in the water, so the water is only 100 − P of each 100."),
            {_conversion: 100 * _ratio * _first_wort / (_potential * 100)},
        ),
        Slip(
            _("put the grist's extract in as percent"),
            _("Write 80 % as 0.80 here."),
            {_potential: 100 * _potential},
        ),
    ),
    valid_for=_("first wort before sparging; the malt's moisture is left out"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.HOT_LIQUOR,),
    accepts=lambda givens: 80 <= Scope(givens).number_of(_conversion) <= 100,
)

_mash = Measured(
    "T_m", name="mash", says=_("mash temperature wanted"), unit="°C", low=60, high=70, resolution=0.5, is_exact=True
)
_grist = Measured("T_g", name="grist", says=_("temperature of the grist"), unit="°C", low=8, high=26, resolution=0.5)
_water = Measured(
    "R", name="ratio", says=_("water to grist"), unit="L/kg", low=2.5, high=4, resolution=0.1, is_exact=True
)
_heat = Fixed("", value=HEAT_RATIO_GRIST_TO_WATER.value)
_gap = Line.of("ΔT", _mash - _grist, _("what the grist must warm by"), unit="°C difference", decimals=1)
_strike = Line.of("T_s", _mash + _heat / _water * _gap, _("strike-water temperature"), unit="°C", decimals=1)
STRIKE = Calculation(
    code="C03-strike",
    title=_("Strike-water temperature"),
    family=Family.BREWHOUSE,
    asks=_("How hot must the water be when you mash in?"),
    givens=(_mash, _grist, _water),
    steps=(_gap, _strike),
    work=formulas.strike_water_temp_c,
    slips=(
        Slip(
            _("sign of the difference"),
            _("Cold grist takes heat from the water, so the water is hotter than the mash: add."),
            {_gap: _grist - _mash},
        ),
        Slip(
            _("ratio inverted"),
            _("More water needs less extra heat: divide 0.41 by the litres per kilogram."),
            {_strike: _mash + _water / _heat * _gap},
        ),
        Slip(
            _("left the grain temperature out"),
            _("Only the gap between mash and grist has to be heated: subtract the grist temperature."),
            {_gap: _mash},
        ),
    ),
    valid_for=_("a warmed vessel, malt of about 6 % moisture, no heat of slaking; water of even heat, within 0.02 °C"),
    sources=("HEAT-BALANCE", "PRACTICE"),
    cautions=(cautions.HOT_LIQUOR,),
)

_liquor = Measured("T_w", name="water", says=_("temperature of the water"), unit="°C", low=58, high=80, resolution=0.5)
_by_mass = Measured(
    "R", name="ratio", says=_("water to grist by mass"), unit="kg/kg", low=2.5, high=4, resolution=0.1, is_exact=True
)
_heats = Measured(
    "c", name="heats", says=_("heat of the malt over that of water"), unit="fraction", low=0.38, high=0.42,
    resolution=0.01, is_exact=True,
)  # fmt: skip
_slaking = Measured(
    "s", name="slaking", says=_("warming as dry malt wets"), unit="°C difference", low=1.1, high=3.1, resolution=0.1,
    is_exact=True,
)  # fmt: skip
_mixed = Line.of(
    "T_x", (_by_mass * _liquor + _heats * _grist) / (_by_mass + _heats), _("temperature of the mixture"), unit="°C",
    decimals=1,
)  # fmt: skip
_mashed = Line.of("T_m", _mixed + _slaking, _("temperature of the mash"), unit="°C", decimals=1)
MASH = Calculation(
    code="C21-mash",
    title=_("Temperature of the mash"),
    family=Family.BREWHOUSE,
    asks=_("Water and grist come together. How warm is the mash?"),
    givens=(_liquor, _grist, _by_mass, _heats, _slaking),
    steps=(_mixed, _mashed),
    work=formulas.mash_temp_c,
    slips=(
        Slip(
            _("took grist for water"),
            _("Malt holds less heat than water: weigh its share with 0.38 to 0.42."),
            {_mixed: (_by_mass * _liquor + _grist) / (_by_mass + 1)},
        ),
        Slip(
            _("heat of slaking left out"),
            _("Dry malt warms as it takes up water: add the heat of slaking."),
            {_mashed: _mixed},
        ),
        Slip(
            _("added the malt's heat where it multiplies"),
            _("The heat of the malt, such as 0.40, is no temperature: multiply the temperature of the grist by it."),
            {_mixed: (_by_mass * _liquor + _heats + _grist) / (_by_mass + _heats)},
        ),
    ),
    valid_for=_(
        "a warmed vessel; slaking gives 3.1 °C with dry malt, 1.1 °C at 8 % moisture; within 0.01 °C of IAPWS-95"
    ),
    sources=("MASH-FORM", "HEAT-BALANCE"),
    cautions=(cautions.HOT_LIQUOR,),
)

_slaked = Line.of("T_x", _mash - _slaking, _("mash temperature without slaking"), unit="°C", decimals=1)
_needed = Line.of(
    "T_w", (_slaked * (_by_mass + _heats) - _heats * _grist) / _by_mass, _("temperature of the water"), unit="°C",
    decimals=1,
)  # fmt: skip
LIQUOR = Calculation(
    code="C21-liquor",
    title=_("Mashing-in water for this malt"),
    family=Family.BREWHOUSE,
    asks=_("How hot must the water be, with the heat of this malt and the warming as it wets?"),
    givens=(_mash, _grist, _by_mass, _heats, _slaking),
    steps=(_slaked, _needed),
    work=formulas.mashing_water_temp_c,
    slips=(
        Slip(
            _("heat of slaking left out"),
            _("Dry malt warms as it takes up water, so the water may be cooler: subtract first."),
            {_slaked: _mash},
        ),
        Slip(
            _("heat of slaking added"),
            _("Slaking warms the mash, so the water may be cooler: subtract."),
            {_slaked: _mash + _slaking},
        ),
        Slip(
            _("heat of the malt left out"),
            _("The grist takes its heat from the water: weigh it with 0.38 to 0.42."),
            {_needed: _slaked},
        ),
    ),
    valid_for=_("a warmed vessel; the heat of slaking falls from 3.1 °C for dry malt to 1.1 °C at 8 % moisture"),
    sources=("MASH-FORM", "HEAT-BALANCE"),
    cautions=(cautions.HOT_LIQUOR,),
)
