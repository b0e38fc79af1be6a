"""Alcohol and original extract, framework code C22."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Measured, Slip
from assessments.formulas import alcohol as formulas
from assessments.formulas.constants import (
    APPARENT_SHARE,
    ETHANOL_DENSITY,
    ETHANOL_TO_WATER,
    EXTRACT_PER_ALCOHOL,
    ORIGINAL_SHARE,
    PURE_ETHANOL_DENSITY,
    YIELD_FALL,
)
from assessments.formulas.extract import gravity_from_plato
from assessments.formulas.fermentation import real_extract_p
from assessments.notation import Fixed, Line
from assessments.vocabulary import Family
from assessments.vocabulary import gettext_noop as _

_per_alcohol = Fixed("", value=EXTRACT_PER_ALCOHOL.value)
_fall = Fixed("", value=YIELD_FALL.value)
_to_water = Fixed("", value=ETHANOL_TO_WATER.value)

_original = Measured("OE", name="original", says=_("original extract"), unit="°P", low=9, high=18, resolution=0.1)
_apparent = Measured("AE", name="apparent", says=_("apparent extract"), unit="°P", low=1.5, high=4.5, resolution=0.1)
_real = Line.of(
    "RE", ORIGINAL_SHARE.value * _original + APPARENT_SHARE.value * _apparent, _("real extract"), unit="°P", decimals=2
)
_alcohol = Line.of(
    "A", (_original - _real) / (_per_alcohol - _fall * _original), _("alcohol by weight"), unit="% w/w", decimals=2
)
BY_WEIGHT = Calculation(
    code="C22-by_weight",
    title=_("Alcohol by weight from two extracts"),
    family=Family.FERMENTATION,
    asks=_("What alcohol by weight has the beer?"),
    givens=(_original, _apparent),
    steps=(_real, _alcohol),
    work=lambda original, apparent: formulas.alcohol_by_weight_pct(original, real_extract_p(original, apparent)),
    slips=(
        Slip(
            _("apparent taken as real"),
            _("Alcohol makes the hydrometer read low. Work out the real extract first."),
            {_real: _apparent},
        ),
        Slip(
            _("divided by 2.0665 alone"),
            _("Some extract goes into yeast, less of it in strong wort: take 0.010665 OE off 2.0665."),
            {_alcohol: (_original - _real) / _per_alcohol},
        ),
        Slip(
            _("factors swapped"),
            _("The large factor, 0.8192, goes with the apparent extract."),
            {_real: APPARENT_SHARE.value * _original + ORIGINAL_SHARE.value * _apparent},
        ),
    ),
    valid_for=_("beers from 8 to 18 °P that were not diluted after fermentation"),
    sources=("BALLING",),
    cautions=(cautions.TASTING,),
)

_gravity_now = Line.of(
    "S", 1 + _apparent / (258.6 - 227.1 * _apparent / 258.2), _("gravity of the beer"), unit="SG", decimals=4
)
_strength = Line.of("ABV", _alcohol * _gravity_now / _to_water, _("alcohol by volume"), unit="% vol", decimals=2)
STRENGTH = Calculation(
    code="C22-strength",
    title=_("Alcohol by volume from two extracts"),
    family=Family.FERMENTATION,
    asks=_("What strength by volume has the beer?"),
    givens=(_original, _apparent),
    steps=(_real, _alcohol, _gravity_now, _strength),
    work=lambda original, apparent: formulas.alcohol_by_volume_pct(
        formulas.alcohol_by_weight_pct(original, real_extract_p(original, apparent)), gravity_from_plato(apparent)
    ),
    slips=(
        Slip(
            _("gave alcohol by weight"),
            _("Ethanol is lighter than water, so there is more of it by volume: divide by 0.7907."),
            {_strength: _alcohol},
        ),
        Slip(
            _("multiplied by 0.7907"),
            _("Ethanol is lighter than water, so the number rises: divide by 0.7907."),
            {_strength: _alcohol * _gravity_now * _to_water},
        ),
        Slip(
            _("apparent taken as real"),
            _("Alcohol makes the hydrometer read low. Work out the real extract first."),
            {_real: _apparent},
        ),
    ),
    valid_for=_("beers from 8 to 18 °P that were not diluted; the label rests on the laboratory"),
    sources=("BALLING", "PLATO-FORM", "OIML-R22"),
    cautions=(cautions.TASTING,),
)

_by_weight = Measured("A", name="alcohol", says=_("alcohol by weight"), unit="% w/w", low=3, high=7, resolution=0.01)
_real_read = Measured("RE", name="real", says=_("real extract"), unit="°P", low=3, high=7, resolution=0.01)
_before = 100 * (_per_alcohol * _by_weight + _real_read)
_original_found = Line.of(
    "OE", _before / (100 + (_per_alcohol - 1) * _by_weight), _("original extract"), unit="°P", decimals=2
)
ORIGINAL = Calculation(
    code="C22-original",
    title=_("Original extract from the finished beer"),
    family=Family.FERMENTATION,
    asks=_("The laboratory gives alcohol by weight and real extract. How strong was the wort?"),
    givens=(_by_weight, _real_read),
    steps=(_original_found,),
    work=formulas.original_extract_p,
    slips=(
        Slip(
            _("denominator left out"),
            _("The CO2 has left: the wort weighed more than the beer, so divide by 100 + 1.0665 A, times 100."),
            {_original_found: _before / 100},
        ),
        Slip(
            _("put alcohol by volume in"),
            _("The balance goes by weight. By volume the figure is a quarter larger."),
            {_by_weight: _by_weight / _to_water},
        ),
        Slip(
            _("factors swapped"),
            _("2.0665 goes on top: so much extract makes a gram of alcohol. Below it is 1.0665."),
            {
                _original_found: 100
                * ((_per_alcohol - 1) * _by_weight + _real_read)
                / (100 + _per_alcohol * _by_weight)
            },
        ),
    ),
    valid_for=_("beer not diluted after fermentation; 0.1 to 0.25 °P off measured beers"),
    sources=("BALLING",),
    cautions=(cautions.TASTING,),
)

_gravity = Measured(
    "S", name="gravity", says=_("specific gravity of the beer"), unit="SG", low=1.004, high=1.018, resolution=0.0001
)
_by_volume = Line.of("ABV", _by_weight * _gravity / _to_water, _("alcohol by volume"), unit="% vol", decimals=2)
BY_VOLUME = Calculation(
    code="C22-by_volume",
    title=_("Alcohol by weight to by volume"),
    family=Family.FERMENTATION,
    asks=_("The laboratory gives alcohol by weight. What is it by volume, for the label?"),
    givens=(_by_weight, _gravity),
    steps=(_by_volume,),
    work=formulas.alcohol_by_volume_pct,
    slips=(
        Slip(
            _("read by weight as by volume"),
            _("Ethanol is lighter than water, so there is more of it by volume: divide by 0.7907."),
            {_by_volume: _by_weight},
        ),
        Slip(
            _("multiplied by 0.7907"),
            _("Ethanol is lighter than water, so the number rises: divide by 0.7907."),
            {_by_volume: _by_weight * _gravity * _to_water},
        ),
    ),
    # 0.79 or 0.794 in place of 0.7907.
    relative_spread=0.001,
    valid_for=_("20 °C; the label rests on the laboratory"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
    must_use_unit=True,
)

_labelled = Measured("ABV", name="strength", says=_("alcohol by volume"), unit="% vol", low=4, high=9, resolution=0.1)
_density = Measured(
    "ρ", name="density", says=_("density of the drink at 20 °C"), unit="kg/m³", low=1003, high=1018, resolution=0.1
)
_ethanol = Fixed("", value=PURE_ETHANOL_DENSITY.value)
_weight_share = Line.of("A", _ethanol * _labelled / _density, _("alcohol by weight"), unit="% w/w", decimals=2)
TO_WEIGHT = Calculation(
    code="C22-to_weight",
    title=_("Alcohol by volume to by weight"),
    family=Family.FERMENTATION,
    asks=_("The recipe is by weight, the label by volume. What is the alcohol by weight?"),
    givens=(_labelled, _density),
    steps=(_weight_share,),
    work=formulas.by_weight_from_volume_pct,
    slips=(
        Slip(
            _("read by volume as by weight"),
            _("Ethanol is lighter than the drink, so the share by weight is smaller."),
            {_weight_share: _labelled},
        ),
        Slip(
            _("ratio inverted"),
            _("Density of ethanol over density of the drink: the number falls."),
            {_weight_share: _labelled * _density / _ethanol},
        ),
    ),
    valid_for=_("20 °C, any mixture whose density was read"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
    must_use_unit=True,
)

_pack = Measured("V", name="volume", says=_("pack"), unit="mL", low=200, high=1000, resolution=10, is_exact=True)
_on_label = Measured(
    "ABV", name="strength", says=_("strength on the label"), unit="% vol", low=3, high=9, resolution=0.1, is_exact=True
)
_ethanol_weight = Fixed("", value=ETHANOL_DENSITY.value)
_grams = Line.of("m", _ethanol_weight * _pack * _on_label / 100, _("ethanol in the pack"), unit="g", decimals=1)
ETHANOL = Calculation(
    code="C22-ethanol",
    title=_("Grams of ethanol in a pack"),
    family=Family.FERMENTATION,
    asks=_("How many grams of ethanol are in the pack?"),
    givens=(_pack, _on_label),
    steps=(_grams,),
    work=formulas.ethanol_mass_g,
    slips=(
        Slip(
            _("density left out"),
            _("A millilitre of ethanol weighs 0.789 g, not 1 g: multiply by it."),
            {_grams: _pack * _on_label / 100},
        ),
        Slip(
            _("per cent not divided by 100"),
            _("Per cent means out of 100: divide by 100."),
            {_grams: _ethanol_weight * _pack * _on_label},
        ),
        Slip(
            _("divided by the density"),
            _("Ethanol is light, so there are fewer grams than millilitres: multiply."),
            {_grams: _pack * _on_label / 100 / _ethanol_weight},
        ),
    ),
    # 0.79 or 0.8 in place of 0.789.
    relative_spread=0.002,
    valid_for=_("20 °C"),
    sources=("OIML-R22",),
    cautions=(cautions.TASTING,),
)
