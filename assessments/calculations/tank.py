"""Carbonation in the tank, framework code C24: what the meter says, how much to add, whether it is fit."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, number_in
from assessments.formulas import carbonation as formulas
from assessments.formulas.constants import CO2_DENSITY
from assessments.notation import Fixed, Line, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_per_volume = Fixed("", value=CO2_DENSITY.value)
_metered = Measured("c", name="co2", says=_("CO2 on the meter"), unit="g/L", low=4, high=6.4, resolution=0.01)
_volumes = Line.of("V", _metered / _per_volume, _("volumes of CO2"), unit="vol", decimals=2)
VOLUMES = Calculation(
    code="C24-volumes",
    title=_("CO2 in g/L to volumes"),
    family=Family.CARBONATION,
    asks=_("The meter shows grams per litre. How many volumes is that, at 1.977 g/L to the volume?"),
    givens=(_metered,),
    steps=(_volumes,),
    work=formulas.co2_volumes_from_g_per_l,
    slips=(
        Slip(
            _("multiplied instead of divided"),
            _("One volume is nearly two grams per litre, so the number gets smaller: divide."),
            {_volumes: _metered * _per_volume},
        ),
        Slip(
            _("took the volume at 60 °F"),
            _("In beer a volume is counted at 0 °C and 1 atm, where it weighs 1.977 g/L; 1.868 belongs to 60 °F."),
            {_volumes: _metered / 1.868},
        ),
    ),
    valid_for=_("volumes at 0 °C and 1 atm; real gas to 0.02 %, 0.7 % heavier than an ideal one"),
    sources=("REAL-GAS",),
    cautions=(cautions.CO2,),
    must_use_unit=True,
    # Factors from 1.96 to 1.98 are in use.
    relative_spread=0.01,
)

_share = Measured(
    "w", name="share", says=_("CO2 by weight"), unit="% w/w", low=0.38, high=0.6, resolution=0.01, is_exact=True
)
_density = Measured("ρ", name="density", says=_("beer"), unit="kg/L", low=1.006, high=1.016, resolution=0.001)
_grams = Line.of("c", 10 * _share * _density, _("CO2 in the beer"), unit="g/L", decimals=2)
WEIGHT = Calculation(
    code="C24-weight",
    title=_("CO2 in percent by weight to g/L"),
    family=Family.CARBONATION,
    asks=_("The specification gives CO2 in percent by weight. How many grams per litre is that?"),
    givens=(_share, _density),
    steps=(_grams,),
    work=formulas.co2_g_per_l_from_weight,
    slips=(
        Slip(
            _("left the density out"),
            _("A litre of beer weighs a little more than a kilogram: multiply by the density."),
            {_grams: 10 * _share},
        ),
        Slip(
            _("forgot the factor 10"),
            _("One percent by weight is ten grams in a kilogram."),
            {_grams: _share * _density},
        ),
    ),
    valid_for=_("0 to 1.2 % by weight"),
    sources=("MASS-BALANCE",),
    cautions=(cautions.CO2,),
    must_use_unit=True,
)

_beer = Measured("V", name="beer", says=_("beer in the tank"), unit="hL", low=100, high=400, resolution=1)
_present = Measured(
    "c_0", name="present", says=_("CO2 in it now"), unit="g/L", low=3, high=4.2, resolution=0.01
)  # fmt: skip
_target = Measured(
    "c_t", name="target", says=_("CO2 wanted"), unit="g/L", low=4.8, high=5.6, resolution=0.1, is_exact=True
)
_uptake = Measured(
    "u", name="uptake", says=_("share of the gas that stays"), unit="%", low=85, high=94, resolution=1, is_exact=True,
    usual=100,
)  # fmt: skip
_missing = Line.of("m_0", 100 * _beer * (_target - _present) / 1000, _("CO2 missing"), unit="kg", decimals=2)
_fed = Line.of("m", _missing / (_uptake / 100), _("CO2 to feed"), unit="kg", decimals=1)
ADD = Calculation(
    code="C24-add",
    title=_("CO2 to add"),
    family=Family.CARBONATION,
    asks=_("How much CO2 do you feed to bring the tank to its target?"),
    givens=(_beer, _present, _target, _uptake),
    steps=(_missing, _fed),
    work=formulas.co2_to_add_kg,
    slips=(
        Slip(
            _("took no account of the CO2 in it"),
            _("The beer holds CO2 already: feed only what is missing."),
            {_missing: 100 * _beer * _target / 1000},
        ),
        Slip(
            _("left the uptake out"),
            _("Part of the gas escapes, so you feed more than is missing: divide by the share that stays."),
            {_fed: _missing},
        ),
        Slip(
            _("multiplied by the uptake"),
            _("Losses make the amount larger: divide by the share that stays."),
            {_fed: _missing * (_uptake / 100)},
        ),
        Slip(
            _("hL taken as L"),
            _("Grams per litre go with litres: a hectolitre is 100 of them."),
            {_missing: _beer * (_target - _present) / 1000},
        ),
    ),
    valid_for=_("one tank; the uptake is the plant's own experience"),
    sources=("MASS-BALANCE", "PRACTICE"),
    cautions=(cautions.CO2, cautions.PRESSURE),
)

_wanted = Measured(
    "V_t", name="target", says=_("CO2 wanted"), unit="vol", low=2.5, high=2.9, resolution=0.05, is_exact=True
)
_allowance = Measured(
    "a", name="allowance", says=_("allowed to either side"), unit="vol", low=0.05, high=0.15, resolution=0.05,
    is_exact=True,
)  # fmt: skip
_read = Measured("c", name="co2", says=_("CO2 on the meter"), unit="g/L", low=4.8, high=5.9, resolution=0.01)
_as_volumes = Line.of("V", _read / _per_volume, _("volumes of CO2"), unit="vol", decimals=2)


def _judged(volumes: float, target: float, allowance: float) -> str:
    return formulas.carbonation_verdict(volumes * CO2_DENSITY.value, target, allowance)


def _nothing_below(volumes: float, target: float, allowance: float) -> str:
    return formulas.TOO_LITTLE if volumes < target else _judged(volumes, target, allowance)


def _turned_over(volumes: float, target: float, allowance: float) -> str:
    return _judged(2 * target - volumes, target, allowance)


def _is_clear_of_the_limits(givens: Givens) -> bool:
    """Return whether the rounded factors 1.96 and 1.98 would lead to the same judgement."""
    volumes = number_in(givens, "co2") / CO2_DENSITY.value
    off = abs(volumes - number_in(givens, "target"))
    return abs(off - number_in(givens, "allowance")) > 0.012 * volumes


_verdict = Line.of(
    "beer", Rule("{0} against {1} ± {2}", _judged, (_as_volumes, _wanted, _allowance)), _("what the beer is")
)
JUDGEMENT = Calculation(
    code="C24-judgement",
    title=_("Is the carbonation right?"),
    family=Family.CARBONATION,
    asks=_("The tank is to be packaged. Work out the volumes, and judge the beer."),
    givens=(_read, _wanted, _allowance),
    steps=(_as_volumes, _verdict),
    work=formulas.carbonation_verdict,
    slips=(
        Slip(
            _("compared g/L with volumes"),
            _("Bring the reading to volumes first: divide by 1.977."),
            {_as_volumes: _read * 1},
            sometimes=True,
        ),
        Slip(
            _("allowed nothing below the target"),
            _("The allowance holds to either side of the target."),
            {_verdict: Rule("{0} against {1} + {2}", _nothing_below, (_as_volumes, _wanted, _allowance))},
            sometimes=True,
        ),
        Slip(
            _("turned low and high round"),
            _("Fewer volumes than wanted is too little."),
            {_verdict: Rule("{1} against {0} ± {2}", _turned_over, (_as_volumes, _wanted, _allowance))},
            sometimes=True,
        ),
    ),
    valid_for=_("one reading in a mixed tank; the package's own limit of pressure comes first"),
    sources=("REAL-GAS", "PLANT"),
    cautions=(cautions.CO2, cautions.GLASS),
    kind=AnswerKind.CHOICE,
    options=(formulas.FIT, formulas.TOO_LITTLE, formulas.TOO_MUCH),
    accepts=_is_clear_of_the_limits,
)
