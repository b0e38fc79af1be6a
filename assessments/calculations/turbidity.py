"""Turbidity, framework code C26."""

from collections.abc import Callable

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, Word, number_in
from assessments.formulas import turbidity as formulas
from assessments.formulas.constants import ASBC_FTU_PER_EBC, NTU_PER_EBC
from assessments.notation import Fixed, Line, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_per_ebc = Fixed("", value=NTU_PER_EBC.value)
_asbc_per_ebc = Fixed("", value=ASBC_FTU_PER_EBC.value)
_haze = Measured("E", name="haze", says=_("turbidity"), unit="EBC", low=0.3, high=2.5, resolution=0.01)
_ntu = Line.of("N", _haze * _per_ebc, _("turbidity in NTU"), unit="NTU", decimals=1)
NTU = Calculation(
    code="C26-ntu",
    title=_("Turbidity: EBC to NTU"),
    family=Family.FILTRATION,
    asks=_("The filter's meter shows EBC units. How many NTU is that?"),
    givens=(_haze,),
    steps=(_ntu,),
    work=formulas.ntu_from_ebc,
    slips=(
        Slip(
            _("divided instead of multiplied"),
            _("One EBC unit is four NTU, so the number gets larger: multiply."),
            {_ntu: _haze / _per_ebc},
        ),
        Slip(
            _("used the factor of the ASBC unit"),
            _("69 belongs to ASBC FTU; for NTU the factor is 4."),
            {_ntu: _haze * _asbc_per_ebc},
        ),
    ),
    valid_for=_("both calibrated with formazin and read at 90°; FNU are the same as NTU"),
    sources=("EBC-HAZE",),
    cautions=(cautions.TASTING,),
    must_use_unit=True,
)

_asbc = Line.of("N_asbc", _haze * _asbc_per_ebc, _("turbidity in ASBC FTU"), unit="ASBC FTU", decimals=0)
ASBC = Calculation(
    code="C26-asbc",
    title=_("Turbidity: EBC to ASBC FTU"),
    family=Family.FILTRATION,
    asks=_("The filter's meter shows EBC units, the customer asks for ASBC formazin units. How many are they?"),
    givens=(_haze,),
    steps=(_asbc,),
    work=formulas.asbc_ftu_from_ebc,
    slips=(
        Slip(
            _("took the FTU of ISO 7027"),
            _("Two units are called FTU. That of the ASBC is 17 times smaller than the ISO one."),
            {_asbc: _haze * _per_ebc},
        ),
        Slip(
            _("divided instead of multiplied"),
            _("An ASBC unit is small, so many of them make one EBC unit: multiply."),
            {_asbc: _haze / _asbc_per_ebc},
        ),
    ),
    valid_for=_("both calibrated with formazin and read at 90°"),
    sources=("FORMAZIN", "EBC-HAZE"),
    cautions=(cautions.TASTING,),
    must_use_unit=True,
)

_reading = Measured("N", name="reading", says=_("reading of the meter"), unit="NTU", low=0.4, high=6, resolution=0.1)
_limit = Measured(
    "E_max", name="limit", says=_("limit at 90°"), unit="EBC", low=0.5, high=1, resolution=0.1, is_exact=True
)
_angle = Word(
    "angle", name="angle", says=_("angle of the meter"), options=(formulas.RIGHT_ANGLE, formulas.FORWARD),
    shares=(4, 1),
)  # fmt: skip
_limit_ntu = Line.of("N_max", _limit * _per_ebc, _("limit in NTU"), unit="NTU", decimals=1)


def _judged(reading: float, limit_ntu: float, angle: str) -> str:
    return formulas.haze_verdict(reading, limit_ntu / NTU_PER_EBC.value, angle)


def _whatever_the_angle(reading: float, limit_ntu: float, angle: str) -> str:
    return _judged(reading, limit_ntu, formulas.RIGHT_ANGLE)


def _turned_over(reading: float, limit_ntu: float, angle: str) -> str:
    right = _judged(reading, limit_ntu, angle)
    return {formulas.BRIGHT: formulas.TOO_HAZY, formulas.TOO_HAZY: formulas.BRIGHT}.get(right, right)


def _is_clear_of_the_limit(givens: Givens) -> bool:
    """Return whether the reading lies further from the limit than the meter's last digit."""
    return abs(number_in(givens, "reading") - NTU_PER_EBC.value * number_in(givens, "limit")) > 0.15


def _rule(words: str, judge: Callable[..., str]) -> Rule:
    return Rule(words, judge, (_reading, _limit_ntu, _angle))


_verdict = Line.of("beer", _rule("{0} against {1}, read at {2}", _judged), _("what the beer is"))
JUDGEMENT = Calculation(
    code="C26-judgement",
    title=_("Is the beer bright enough?"),
    family=Family.FILTRATION,
    asks=_("Bring the limit to the unit of the meter, and judge the filtered beer."),
    givens=(_reading, _limit, _angle),
    steps=(_limit_ntu, _verdict),
    work=formulas.haze_verdict,
    slips=(
        Slip(
            _("compared NTU with EBC"),
            _("One EBC unit is four NTU: bring both to the same unit first."),
            {_limit_ntu: _limit * 1},
            sometimes=True,
        ),
        Slip(
            _("compared forward scatter with a limit at 90°"),
            _("At 25° the meter sees large particles only. No factor leads to 90°: read again at 90°."),
            {_verdict: _rule("{0} against {1}", _whatever_the_angle)},
            sometimes=True,
        ),
        Slip(
            _("turned bright and hazy round"),
            _("The more NTU, the hazier: the reading must not lie above the limit."),
            {_verdict: _rule("{1} against {0}, read at {2}", _turned_over)},
            sometimes=True,
        ),
    ),
    valid_for=_("meters calibrated with formazin"),
    sources=("EBC-HAZE", "PLANT"),
    cautions=(cautions.TASTING,),
    kind=AnswerKind.CHOICE,
    options=(formulas.BRIGHT, formulas.TOO_HAZY, formulas.NO_COMPARISON),
    accepts=_is_clear_of_the_limit,
)
