"""Colour, framework code C28."""

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Givens, Measured, Slip, Word, number_in
from assessments.formulas import colour as formulas
from assessments.formulas.constants import CLEAR_SHARE, EBC_COLOUR, READABLE, SRM_COLOUR
from assessments.notation import Fixed, Line, Number, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_ebc_factor = Fixed("", value=EBC_COLOUR.value)
_srm_factor = Fixed("", value=SRM_COLOUR.value)
_absorbance = Measured(
    "A_430", name="absorbance", says=_("absorbance at 430 nm, 1 cm"), unit="AU", low=0.15, high=0.79, resolution=0.001
)
_dilution = Measured(
    "f", name="dilution", says=_("dilution"), unit="fold", low=3, high=10, resolution=1, is_exact=True, usual=1
)
_ebc = Line.of("C", _ebc_factor * _absorbance * _dilution, _("colour"), unit="EBC", decimals=1)
EBC = Calculation(
    code="C28-ebc",
    title=_("Colour in EBC"),
    family=Family.HOPS,
    asks=_("The sample was diluted and read. What is its colour in EBC units?"),
    givens=(_absorbance, _dilution),
    steps=(_ebc,),
    work=formulas.colour_ebc,
    slips=(
        Slip(
            _("used the factor of the SRM"),
            _("12.7 gives SRM; for EBC the factor is 25."),
            {_ebc: _srm_factor * _absorbance * _dilution},
        ),
        Slip(
            _("dilution left out"),
            _("Water made the sample paler: multiply by the dilution to come back to the beer."),
            {_ebc: _ebc_factor * _absorbance},
        ),
        Slip(
            _("divided by the dilution"),
            _("The beer is darker than the diluted sample: multiply."),
            {_ebc: _ebc_factor * _absorbance / _dilution},
        ),
    ),
    valid_for=_("a clear sample in a 1 cm cell, diluted to below about 0.8"),
    sources=("EBC-COLOUR", "LINEAR-RANGE"),
    cautions=(cautions.TASTING,),
)

_read = Measured(
    "A_430", name="absorbance", says=_("absorbance at 430 nm"), unit="AU", low=0.15, high=0.79, resolution=0.001
)
_cell = Word("cell", name="cell", says=_("length of the cell"), options=(formulas.CENTIMETRE, formulas.HALF_INCH))


def _factor_of_the_other_cell(cell: str) -> float:
    other = formulas.HALF_INCH if cell == formulas.CENTIMETRE else formulas.CENTIMETRE
    return formulas.srm_factor(other)


_factor = Line.of("k", Rule("factor for {0}", formulas.srm_factor, (_cell,)), _("factor of the cell"), decimals=1)
_srm = Line.of("C", _factor * _read * _dilution, _("colour"), unit="SRM", decimals=1)
SRM = Calculation(
    code="C28-srm",
    title=_("Colour in SRM"),
    family=Family.HOPS,
    asks=_("The sample was diluted and read. The factor is 12.7 for 1 cm, 10 for half an inch. What is its SRM?"),
    givens=(_read, _dilution, _cell),
    steps=(_factor, _srm),
    work=formulas.colour_srm,
    slips=(
        Slip(
            _("used the factor of the other cell"),
            _("Look at the cell: a longer one takes up more light and has the smaller factor."),
            {_factor: Rule("factor for the other cell than {0}", _factor_of_the_other_cell, (_cell,))},
        ),
        Slip(
            _("used the factor of EBC"),
            _("25 gives EBC; for SRM in 1 cm the factor is 12.7."),
            {_factor: Number(EBC_COLOUR.value)},
        ),
        Slip(
            _("dilution left out"),
            _("Water made the sample paler: multiply by the dilution to come back to the beer."),
            {_srm: _factor * _read},
        ),
    ),
    valid_for=_("a clear sample, diluted to below about 0.8"),
    sources=("ASBC-COLOUR", "LINEAR-RANGE"),
    cautions=(cautions.TASTING,),
)

_beer = Measured("C", name="colour", says=_("colour"), unit="EBC", low=8, high=80, resolution=0.5)
_converted = Line.of("C_s", _srm_factor / _ebc_factor * _beer, _("colour in SRM"), unit="SRM", decimals=1)
CONVERSION = Calculation(
    code="C28-conversion",
    title=_("Colour: EBC to SRM"),
    family=Family.HOPS,
    asks=_("The specification gives EBC units. How many SRM is that?"),
    givens=(_beer,),
    steps=(_converted,),
    work=formulas.srm_from_ebc,
    slips=(
        Slip(
            _("multiplied instead of divided"),
            _("One SRM is nearly two EBC, so the number gets smaller."),
            {_converted: _ebc_factor / _srm_factor * _beer},
        ),
        # The old factor and its year are from memory.
        Slip(
            _("used the factor 2.65 of the old EBC"),
            _("The EBC of today is about 1.97 SRM; 2.65 belongs to the method before 1990."),
            {_converted: _beer / 2.65},
        ),
    ),
    valid_for=_("both read at 430 nm; dividing by the rounded 1.97 gives 0.08 % less"),
    sources=("EBC-COLOUR", "ASBC-COLOUR"),
    cautions=(cautions.TASTING,),
    must_use_unit=True,
)

_at_430 = Measured(
    "A_430", name="colour", says=_("absorbance at 430 nm"), unit="AU", low=0.3, high=1.1, resolution=0.001
)
_at_700 = Measured(
    "A_700", name="haze", says=_("absorbance at 700 nm"), unit="AU", low=0.004, high=0.04, resolution=0.001
)
_allowed = Line.of(
    "A_max", Fixed("", value=CLEAR_SHARE.value) * _at_430, _("most that may be seen at 700 nm"), unit="AU", decimals=3
)


def _judged(colour: float, haze: float, allowed: float) -> str:
    if colour > READABLE.value:
        return formulas.DILUTE
    return formulas.CLEAR if haze <= allowed + 1e-9 else formulas.FILTER_AGAIN


def _with_no_upper_limit(colour: float, haze: float, allowed: float) -> str:
    return _judged(0, haze, allowed)


def _turned_over(colour: float, haze: float, allowed: float) -> str:
    right = _judged(colour, haze, allowed)
    return {formulas.CLEAR: formulas.FILTER_AGAIN, formulas.FILTER_AGAIN: formulas.CLEAR}.get(right, right)


def _is_clear_of_the_limits(givens: Givens) -> bool:
    """Return whether one more of the last digit in either reading would lead to the same judgement."""
    colour, haze = number_in(givens, "colour"), number_in(givens, "haze")
    return abs(colour - READABLE.value) > 0.002 and abs(haze - CLEAR_SHARE.value * colour) > 0.0015


_verdict = Line.of(
    "sample",
    Rule("{0}; {1} of {2}", _judged, (_at_430, _at_700, _allowed)),
    _("at 430 nm; at 700 nm of what may be seen"),
)
CLARITY = Calculation(
    code="C28-clarity",
    title=_("Can the colour be read?"),
    family=Family.HOPS,
    asks=_("At 430 nm up to 0.8 may be read, at 700 nm up to 0.039 of that. What do you do with the sample?"),
    givens=(_at_430, _at_700),
    steps=(_allowed, _verdict),
    work=formulas.clarity_verdict,
    slips=(
        Slip(
            _("took 0.39 for 0.039"),
            _("Four hundredths, not four tenths: clear beer hardly shows at 700 nm."),
            {_allowed: 0.39 * _at_430},
            sometimes=True,
        ),
        Slip(
            _("forgot the limit at 430 nm"),
            _("Above 0.8 the reading falls behind the colour: dilute, and read again."),
            {_verdict: Rule("{1} of {2}", _with_no_upper_limit, (_at_430, _at_700, _allowed))},
            sometimes=True,
        ),
        Slip(
            _("turned the limit round"),
            _("What is seen at 700 nm is haze: the less, the better."),
            {_verdict: Rule("{0}; {2} of {1}", _turned_over, (_at_430, _at_700, _allowed))},
            sometimes=True,
        ),
    ),
    valid_for=_("both read in one cell"),
    sources=("ASBC-COLOUR", "LINEAR-RANGE"),
    cautions=(cautions.TASTING,),
    kind=AnswerKind.CHOICE,
    options=(formulas.CLEAR, formulas.FILTER_AGAIN, formulas.DILUTE),
    accepts=_is_clear_of_the_limits,
)
