"""Label placement (C13), date code (C14), check digit (C15)."""

from datetime import date, timedelta

from assessments.calculations import cautions
from assessments.calculations.frame import Calculation, Day, Digits, Givens, Measured, Slip
from assessments.formulas import labelling as formulas
from assessments.notation import Line, Rule, arc_tangent
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_left = Measured("h_l", name="left", says=_("left edge above the base"), unit="mm", low=40, high=46, resolution=0.1)
_right = Measured("h_r", name="right", says=_("right edge above the base"), unit="mm", low=40, high=46, resolution=0.1)
_specified = Measured(
    "h_s", name="specified", says=_("height on the drawing"), unit="mm", low=41, high=45, resolution=0.5, is_exact=True
)
_mean = Line.of("h", (_left + _right) / 2, _("mean height"), unit="mm", decimals=2)
_deviation = Line.of("d", _mean - _specified, _("deviation, above the place positive"), unit="mm", decimals=2)
_skew = Line.of("s", _left - _right, _("skew, left edge high positive"), unit="mm", decimals=1)
_SIGN_ADVICE = _("Say which way it is off: the sign is part of the answer.")
DEVIATION = Calculation(
    code="C13-deviation",
    title=_("Label deviation"),
    family=Family.LABELLING,
    asks=_("How far is the label from its place? Above is positive, below negative."),
    givens=(_left, _right, _specified),
    steps=(_mean, _deviation),
    work=formulas.label_deviation_mm,
    slips=(
        Slip(_("sign lost"), _SIGN_ADVICE, {_deviation: _specified - _mean}),
        Slip(
            _("mean and skew confused"),
            _("Deviation compares the mean of both edges with the drawing; skew compares the edges."),
            {_deviation: _left - _right},
        ),
        Slip(
            _("measured one edge only"),
            _("Take the mean of both edges, or a crooked label misleads you."),
            {_mean: _left},
        ),
    ),
    valid_for=_("heights from the base of an upright container"),
    sources=("PLANT",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
)
SKEW = Calculation(
    code="C13-skew",
    title=_("Label skew"),
    family=Family.LABELLING,
    asks=_("How crooked is the label? Left edge high is positive, right edge high negative."),
    givens=(_left, _right, _specified),
    steps=(_skew,),
    work=lambda left, right, specified: formulas.label_skew_mm(left, right),
    slips=(
        Slip(_("sign lost"), _SIGN_ADVICE, {_skew: _right - _left}),
        Slip(
            _("mean and skew confused"),
            _("Skew compares the two edges; the drawing does not come in."),
            {_skew: (_left + _right) / 2 - _specified},
        ),
        Slip(
            _("halved the difference"),
            _("Skew is the whole difference of the edges."),
            {_skew: (_left - _right) / 2},
        ),
    ),
    valid_for=_("heights from the base of an upright container"),
    sources=("PLANT",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
)

_width = Measured(
    "b", name="width", says=_("label width along the surface"), unit="mm", low=60, high=120, resolution=1
)
_angle = Line.of("β", arc_tangent((_left - _right) / _width), _("angle"), unit="°", decimals=2)
ANGLE = Calculation(
    code="C13-angle",
    title=_("Label angle"),
    family=Family.LABELLING,
    asks=_("At which angle does the label sit? Left edge high is positive."),
    givens=(_left, _right, _width),
    steps=(_angle,),
    work=formulas.label_angle_deg,
    slips=(
        Slip(
            _("ratio given as degrees"),
            _("The ratio is a slope: take its arc tangent in degrees."),
            {_angle: (_left - _right) / _width},
        ),
        Slip(
            _("percent given as degrees"),
            _("One percent of slope is about 0.57 degrees."),
            {_angle: 100 * (_left - _right) / _width},
        ),
        Slip(_("sign lost"), _SIGN_ADVICE, {_angle: arc_tangent((_right - _left) / _width)}),
    ),
    valid_for=_("the width along the surface, not across the bottle"),
    sources=("GEOMETRY",),
    may_be_negative=True,
    cautions=(cautions.MACHINE, cautions.GLASS),
)

_packed = Day("packed", name="packed", says=_("packed on"), first=date(2023, 1, 1), last=date(2029, 12, 31))
_months = Measured(
    "n", name="months", says=_("shelf life"), unit="months", low=3, high=18, resolution=1, is_exact=True
)
_best_before = Line.of(
    "best before", Rule("{0} + {1} months", formulas.best_before, (_packed, _months)), _("best before")
)


def _day_in(givens: Givens) -> date:
    packed = givens["packed"]
    if not isinstance(packed, date):
        raise TypeError("packed is no date.")
    return packed


def _with_30_day_months(packed: date, months: float) -> date:
    return packed + timedelta(days=30 * int(months))


def _packing_month_counted(packed: date, months: float) -> date:
    return formulas.best_before(packed, int(months) - 1)


def _run_over(packed: date, months: float) -> date:
    last = formulas.best_before(packed, int(months))
    return last + timedelta(days=packed.day - last.day)


BEST_BEFORE = Calculation(
    code="C14-best_before",
    title=_("Best-before date"),
    family=Family.LABELLING,
    asks=_("Which best-before date goes on the pack?"),
    givens=(_packed, _months),
    steps=(_best_before,),
    work=formulas.best_before,
    slips=(
        Slip(
            _("months of 30 days"),
            _("Count months by the calendar: same day number, so many months on."),
            {_best_before: Rule("{0} + {1} × 30 days", _with_30_day_months, (_packed, _months))},
        ),
        Slip(
            _("counted the packing month"),
            _("The first month ends a month after packing: do not count the packing month."),
            {_best_before: Rule("{0} + ({1} − 1) months", _packing_month_counted, (_packed, _months))},
        ),
        Slip(
            _("ran over the end of the month"),
            _("Where the month is too short for the day, take its last day. February has 29 in a leap year."),
            {_best_before: Rule("{0} + {1} months, run over", _run_over, (_packed, _months))},
            sometimes=True,
        ),
    ),
    valid_for=_("shelf lives in whole months; clipping to the month's end is the plant's rule"),
    sources=("REG-1169", "PRACTICE"),
    kind=AnswerKind.DATE,
    accepts=lambda givens: _day_in(givens).day >= 27,
)

_day_number = Line.of("n", Rule("day of the year of {0}", formulas.day_number, (_packed,)), _("day of the year"))


def _without_the_leap_day(packed: date) -> int:
    return formulas.day_number(packed.replace(year=2023))


def _by_30_day_months(packed: date) -> int:
    return 30 * (packed.month - 1) + packed.day


DAY_NUMBER = Calculation(
    code="C14-day_number",
    title=_("Day number of the date code"),
    family=Family.LABELLING,
    asks=_("Which day number goes into the date code? 1 January is 001."),
    givens=(_packed,),
    steps=(_day_number,),
    work=formulas.day_number,
    slips=(
        Slip(
            _("day number off by one"),
            _("1 January is day 1, not day 0."),
            {_day_number: Rule("{0}", lambda packed: formulas.day_number(packed) - 1, (_packed,))},
        ),
        Slip(
            _("months of 30 days"),
            _("Add the true lengths of the months that are over."),
            {_day_number: Rule("{0}", _by_30_day_months, (_packed,))},
            sometimes=True,
        ),
        Slip(
            _("leap day forgotten"),
            _("From 1 March on, a leap year counts one day more."),
            {_day_number: Rule("{0}", _without_the_leap_day, (_packed,))},
            sometimes=True,
        ),
    ),
    valid_for=_("the calendar in use"),
    sources=("ISO-8601",),
    kind=AnswerKind.WHOLE,
    # 29 February has no like in other years; March and after show the leap day.
    accepts=lambda givens: (_day_in(givens).month, _day_in(givens).day) > (3, 2),
)

_body = Digits("d", name="digits", says=_("digits before the check digit"), length=12)
_weighted = Line.of(
    "S", Rule("3, 1, 3, 1 … from the right of {0}", formulas.weighted_sum, (_body,)), _("weighted sum")
)
_check = Line.of("c", Rule("(10 − {0} mod 10) mod 10", lambda total: (10 - total % 10) % 10, (_weighted,)),
                 _("check digit"))  # fmt: skip
CHECK_DIGIT = Calculation(
    code="C15-check_digit",
    title=_("Check digit"),
    family=Family.LABELLING,
    asks=_("Which check digit ends this bar code number?"),
    givens=(_body,),
    steps=(_weighted, _check),
    work=formulas.check_digit,
    slips=(
        Slip(
            _("weights started from the wrong end"),
            _("The digit next to the check digit weighs 3; go left from there."),
            {
                _weighted: Rule(
                    "1, 3, 1, 3 … from the right of {0}", lambda body: formulas.weighted_sum(body, 1), (_body,)
                )
            },
        ),
        Slip(
            _("gave the rest itself"),
            _("The check digit fills up to the next ten: 10 less the rest."),
            {_check: Rule("{0} mod 10", lambda total: total % 10, (_weighted,))},
            sometimes=True,
        ),
        Slip(
            _("gave 10 for 0"),
            _("When the sum ends in 0 the check digit is 0."),
            {_check: Rule("10 − {0} mod 10", lambda total: 10 - total % 10, (_weighted,))},
            sometimes=True,
        ),
    ),
    valid_for=_("GTIN and SSCC, 7 to 17 digits before the check digit"),
    sources=("GS1",),
    kind=AnswerKind.DIGIT,
)
