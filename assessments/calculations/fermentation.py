"""Wort and fermentation: gravity and attenuation (C04), blending (C18), alcohol (C19)."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import fermentation as formulas
from assessments.formulas.constants import ALCOHOL_PER_GRAVITY, APPARENT_SHARE, ORIGINAL_SHARE
from assessments.formulas.extract import plato_from_gravity
from assessments.notation import Fixed, Line, Number
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_original = Measured("OE", name="original", says=_("original extract"), unit="°P", low=9, high=18, resolution=0.1)
_apparent = Measured("AE", name="apparent", says=_("apparent extract now"), unit="°P", low=1.5, high=4, resolution=0.1)
_attenuation = Line.of("A", 100 * (_original - _apparent) / _original, _("apparent attenuation"), unit="%", decimals=1)
ATTENUATION = Calculation(
    code="C04-apparent",
    title=_("Apparent attenuation"),
    family=Family.FERMENTATION,
    asks=_("How far has the beer fermented, as the hydrometer shows it?"),
    givens=(_original, _apparent),
    steps=(_attenuation,),
    work=formulas.apparent_attenuation_pct,
    slips=(
        Slip(
            _("divided by the apparent extract"),
            _("Attenuation is a share of what was there at the start: divide by the original extract."),
            {_attenuation: 100 * (_original - _apparent) / _apparent},
        ),
        Slip(
            _("gave what is left, not what is gone"),
            _("Subtract first: original less apparent is what the yeast has taken."),
            {_attenuation: 100 * _apparent / _original},
        ),
        Slip(
            _("original and apparent swapped"),
            _("The larger extract is the original one; attenuation is never below zero."),
            {_original: _apparent, _apparent: _original},
        ),
    ),
    valid_for=_("extracts in °P at 20 °C"),
    sources=("ARITHMETIC",),
    cautions=(cautions.CO2, cautions.TASTING),
)

_real_share = Fixed("", value=APPARENT_SHARE.value)
_original_share = Fixed("", value=ORIGINAL_SHARE.value)
_real = Line.of("RE", _original_share * _original + _real_share * _apparent, _("real extract"), unit="°P", decimals=2)
_real_attenuation = Line.of("R", 100 * (_original - _real) / _original, _("real attenuation"), unit="%", decimals=1)
REAL_ATTENUATION = Calculation(
    code="C04-real",
    title=_("Real attenuation"),
    family=Family.FERMENTATION,
    asks=_("How far has the beer really fermented, with the alcohol's lift taken out?"),
    givens=(_original, _apparent),
    steps=(_real, _real_attenuation),
    work=lambda original, apparent: formulas.real_attenuation_pct(
        original, formulas.real_extract_p(original, apparent)
    ),
    slips=(
        Slip(
            _("apparent taken as real"),
            _("Alcohol makes the hydrometer read low. Work out the real extract first."),
            {_real: _apparent},
        ),
        Slip(
            _("factors swapped"),
            _("The large factor, 0.8192, goes with the apparent extract."),
            {_real: _real_share * _original + _original_share * _apparent},
        ),
        Slip(
            _("divided by the real extract"),
            _("Attenuation is a share of the original extract."),
            {_real_attenuation: 100 * (_original - _real) / _real},
        ),
    ),
    valid_for=_("beers from 8 to 18 °P"),
    sources=("BALLING",),
    cautions=(cautions.CO2, cautions.TASTING),
)

REAL_EXTRACT = Calculation(
    code="C04-real_extract",
    title=_("Real extract"),
    family=Family.FERMENTATION,
    asks=_("How much extract is really left in the beer, with the alcohol's lift taken out?"),
    givens=(_original, _apparent),
    steps=(_real,),
    work=formulas.real_extract_p,
    slips=(
        Slip(
            _("apparent taken as real"),
            _("Alcohol makes the hydrometer read low: the real extract is higher than the apparent one."),
            {_real: _apparent},
        ),
        Slip(
            _("factors swapped"),
            _("The large factor, 0.8192, goes with the apparent extract."),
            {_real: _real_share * _original + _original_share * _apparent},
        ),
        Slip(
            _("original extract left out"),
            _("The alcohol came from the original extract: add 0.1808 of it."),
            {_real: _real_share * _apparent},
        ),
    ),
    # 0.18 and 0.82 in place of 0.1808 and 0.8192.
    relative_spread=0.003,
    valid_for=_("beers from 8 to 18 °P; within 0.2 °P of other published quotients"),
    sources=("BALLING",),
    cautions=(cautions.CO2, cautions.TASTING),
)

_gravity = Measured(
    "S", name="gravity", says=_("hydrometer reading"), unit="SG", low=1.008, high=1.08, resolution=0.001
)
_plato = Line.of(
    "P", 135.997 * _gravity**3 - 630.272 * _gravity**2 + 1111.14 * _gravity - 616.868, _("extract"), unit="°P",
    decimals=1,
)  # fmt: skip
PLATO = Calculation(
    code="C04-plato",
    title=_("Hydrometer reading to °P"),
    family=Family.FERMENTATION,
    asks=_("The hydrometer shows specific gravity. What is the extract in °P?"),
    givens=(_gravity,),
    steps=(_plato,),
    work=plato_from_gravity,
    slips=(
        Slip(
            _("gave the gravity points"),
            _("Forty points are about ten °P. Points are not °P."),
            {_plato: 1000 * (_gravity - 1)},
        ),
        Slip(
            _("divided the points by 2.5"),
            _("About four points make one °P, not two and a half."),
            {_plato: 1000 * (_gravity - 1) / 2.5},
        ),
        Slip(
            _("four points to a °P"),
            _("That rule of thumb drifts above 12 °P: use the table or the formula."),
            {_plato: 1000 * (_gravity - 1) / 4},
            sometimes=True,
        ),
    ),
    valid_for=_("specific gravity 1.000 to 1.083 at 20 °C; within 0.005 °P of the other printed fit"),
    sources=("ASBC-CUBIC",),
    cautions=(cautions.GLASS,),
)

_beer = Measured("V", name="beer", says=_("beer before blending"), unit="hL", low=40, high=250, resolution=1)
_strength = Measured("s_1", name="strength", says=_("its strength"), unit="% vol", low=5.8, high=8, resolution=0.01)
_target = Measured(
    "s_2", name="target", says=_("strength wanted"), unit="% vol", low=4, high=4.9, resolution=0.05, is_exact=True
)
_blend = Line.of("V_w", _beer * (_strength / _target - 1), _("water to add"), unit="hL", decimals=1)
WATER = Calculation(
    code="C18-water",
    title=_("Water to blend to strength"),
    family=Family.FERMENTATION,
    asks=_("How much de-aerated water brings the beer down to the strength wanted?"),
    givens=(_beer, _strength, _target),
    steps=(_blend,),
    work=formulas.dilution_water_hl,
    slips=(
        Slip(
            _("gave the final volume as the water"),
            _("Strength ratio times volume is the whole blend: take the beer off it."),
            {_blend: _beer * _strength / _target},
        ),
        Slip(
            _("ratio inverted"),
            _("The stronger figure goes on top, or the water comes out below zero."),
            {_blend: _beer * (1 - _target / _strength)},
        ),
        Slip(
            _("took the difference in percent of the beer"),
            _("Strengths go by ratio: divide by the strength wanted."),
            {_blend: _beer * (_strength - _target) / 100},
        ),
    ),
    valid_for=_("volumes taken as additive, which is 0.1 % off at most; the same for extract"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CO2,),
)

_og = Measured("OG", name="original", says=_("original gravity"), unit="SG", low=1.036, high=1.07, resolution=0.001)
_fg = Measured("FG", name="final", says=_("final gravity"), unit="SG", low=1.006, high=1.016, resolution=0.001)
_per_gravity = Fixed("", value=ALCOHOL_PER_GRAVITY.value)
_abv = Line.of("ABV", (_og - _fg) * _per_gravity, _("alcohol by volume"), unit="% vol", decimals=2)
ALCOHOL = Calculation(
    code="C19-alcohol",
    title=_("Alcohol by volume from two gravities"),
    family=Family.FERMENTATION,
    asks=_("What strength do these gravities point to?"),
    givens=(_og, _fg),
    steps=(_abv,),
    work=formulas.alcohol_pct_vol,
    slips=(
        Slip(
            _("points without the decimal"),
            _("Write gravities as 1.048, not 48: the factor is for those."),
            {_og: 1000 * (_og - 1), _fg: 1000 * (_fg - 1)},
        ),
        Slip(
            _("final and original swapped"),
            _("Gravity falls as alcohol forms: original less final."),
            {_og: _fg, _fg: _og},
        ),
        Slip(
            _("took the original gravity alone"),
            _("Only what has fermented turns to alcohol: subtract the final gravity."),
            {_fg: Number(1)},
        ),
    ),
    valid_for=_("ordinary strengths, to about 0.2 % vol; the label rests on the laboratory"),
    sources=("PRACTICE",),
    cautions=(cautions.TASTING,),
)
