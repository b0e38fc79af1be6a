"""Date codes, framework codes C14 and C34."""

from datetime import date, timedelta

from assessments.calculations.frame import Calculation, Day, Givens, Measured, Slip
from assessments.formulas import date_codes as formulas
from assessments.notation import Line, Rule
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

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
            sometimes=True,
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
    is_harmless=True,
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
    is_harmless=True,
    kind=AnswerKind.WHOLE,
    # 29 February has no like in other years; March and after show the leap day.
    accepts=lambda givens: (_day_in(givens).month, _day_in(givens).day) > (3, 2),
)

_days = Measured("n", name="days", says=_("shelf life"), unit="days", low=180, high=360, resolution=30, is_exact=True)
_best_before_days = Line.of(
    "best before", Rule("{0} + {1} days", formulas.best_before_after, (_packed, _days)), _("best before")
)
BEST_BEFORE_DAYS = Calculation(
    code="C34-days",
    title=_("Best-before date from days"),
    family=Family.LABELLING,
    asks=_("Which best-before date goes on the pack? The day of packing is not counted."),
    givens=(_packed, _days),
    steps=(_best_before_days,),
    work=formulas.best_before_after,
    slips=(
        Slip(
            _("turned the days into months"),
            _("Months have 28 to 31 days: count the days themselves."),
            {
                _best_before_days: Rule(
                    "{0} + {1} / 30 months",
                    lambda packed, days: formulas.best_before(packed, int(days) // 30),
                    (_packed, _days),
                )
            },
        ),
        Slip(
            _("counted the day of packing"),
            _("The first day of the shelf life is the day after packing."),
            {
                _best_before_days: Rule(
                    "{0} + ({1} − 1) days",
                    lambda packed, days: formulas.best_before_after(packed, int(days) - 1),
                    (_packed, _days),
                )
            },
        ),
    ),
    valid_for=_("shelf lives of 1 to 3660 days"),
    sources=("PRACTICE", "REG-1169"),
    is_harmless=True,
    kind=AnswerKind.DATE,
)

_keeps = Measured(
    "n", name="months", says=_("the drink keeps"), unit="months", low=2, high=36, resolution=1, is_exact=True
)
_form = Line.of("form", Rule("row of {0} months", formulas.form_of_best_before, (_keeps,)), _("shortest form allowed"))


def _next_form(months: float) -> str:
    right = formulas.form_of_best_before(months)
    return formulas.YEAR if right == formulas.MONTH_AND_YEAR else formulas.MONTH_AND_YEAR


FORM = Calculation(
    code="C34-form",
    title=_("Form of the best-before date"),
    family=Family.LABELLING,
    asks=_("Which is the shortest form that the best-before date may have?"),
    givens=(_keeps,),
    steps=(_form,),
    work=formulas.form_of_best_before,
    slips=(
        Slip(
            _("took the row beside"),
            _("Up to 3 months day and month, up to 18 months month and year, above that the year."),
            {_form: Rule("row beside {0} months", _next_form, (_keeps,))},
        ),
        Slip(
            _("gave the whole date"),
            _("The whole date is allowed, yet a shorter form will do."),
            {_form: Rule("whole date, {0} months", lambda months: formulas.WHOLE_DATE, (_keeps,))},
        ),
    ),
    valid_for=_("drinks sold in the European Union; the words before a date without a day are “best before end”"),
    sources=("REG-1169",),
    is_harmless=True,
    kind=AnswerKind.CHOICE,
    options=(formulas.DAY_AND_MONTH, formulas.MONTH_AND_YEAR, formulas.YEAR, formulas.WHOLE_DATE),
)
