"""Week dates and day codes, framework code C34."""

from dataclasses import dataclass
from datetime import date, timedelta

from assessments.calculations.frame import Calculation, Coded, Day, Givens, Slip
from assessments.formulas import week_dates as formulas
from assessments.formulas.date_codes import day_number
from assessments.notation import Line, Rule, rounded_up
from assessments.vocabulary import AnswerKind, Family
from assessments.vocabulary import gettext_noop as _

_NEAR = 3


@dataclass(frozen=True, eq=False, kw_only=True)
class _AroundNewYear(Day):
    """The days of a few on either side of each 1 January."""

    @property
    def choices(self) -> int:
        return (2 * _NEAR + 1) * (self.last.year - self.first.year)

    def value_at(self, place: int) -> date:
        year, offset = divmod(place, 2 * _NEAR + 1)
        return date(self.first.year + year + 1, 1, 1) + timedelta(days=offset - _NEAR)


def _thursday_of(packed: date) -> date:
    return packed + timedelta(days=4 - packed.isoweekday())


def _written(thursday: date, week: float, weekday: float) -> str:
    return f"{thursday.year}-W{int(week):02}-{int(weekday)}"


def _steps_for(packed: Day) -> tuple[Line, Line, Line, Line, Line]:
    thursday = Line.of("Thu", Rule("{0} → Thursday", _thursday_of, (packed,)), _("Thursday of that week"))
    number = Line.of("n", Rule("day of the year of {0}", day_number, (thursday,)), _("its day of the year"))
    week = Line.of("w", rounded_up(number / 7), _("week of its year"))
    weekday = Line.of(
        "d", Rule("weekday of {0}", lambda day: day.isoweekday(), (packed,)), _("day of the week, Monday as 1")
    )
    code = Line.of("code", Rule("year({0})-W{1}-{2}", _written, (thursday, week, weekday)), _("week date"))
    return thursday, number, week, weekday, code


_SUNDAY = _("The standard counts Monday as day 1 and Sunday as day 7.")
_FROM_JANUARY = _("Week 01 is the week with the first Thursday of the year, not the one from 1 January.")


def _counted_from_sunday(weekday: Line, packed: Day) -> Slip:
    sunday_first = Rule("weekday of {0} from Sunday", lambda day: day.isoweekday() % 7 + 1, (packed,))
    return Slip(_("counted the days from Sunday"), _SUNDAY, {weekday: sunday_first})


def _counted_from_january(thursday: Line, packed: Day, *, sometimes: bool) -> Slip:
    itself = Rule("{0} itself", lambda day: day, (packed,))
    return Slip(_("counted the weeks from 1 January"), _FROM_JANUARY, {thursday: itself}, sometimes=sometimes)


_packed = Day("packed", name="packed", says=_("packed on"), first=date(2023, 1, 1), last=date(2029, 12, 31))
_thursday, _number, _week, _weekday, _written_code = _steps_for(_packed)
WEEK_DATE = Calculation(
    code="C34-week_date",
    title=_("Week date"),
    family=Family.LABELLING,
    asks=_("Which week date goes on the pack? Year, W and week, day of the week."),
    givens=(_packed,),
    steps=(_thursday, _number, _week, _weekday, _written_code),
    work=formulas.week_date,
    slips=(
        _counted_from_sunday(_weekday, _packed),
        Slip(_("counted the days from 0"), _SUNDAY, {_weekday: _weekday - 1}),
        _counted_from_january(_thursday, _packed, sometimes=True),
    ),
    valid_for=_("the calendar in use"),
    sources=("ISO-8601",),
    is_harmless=True,
    kind=AnswerKind.WEEK_DATE,
)

_turning = _AroundNewYear(
    "packed", name="packed", says=_("packed on"), first=date(2014, 12, 29), last=date(2040, 1, 3)
)
_turn_thursday, _turn_number, _turn_week, _turn_weekday, _turn_code = _steps_for(_turning)


def _has_another_week_year(givens: Givens) -> bool:
    packed = givens["packed"]
    return isinstance(packed, date) and not formulas.week_date(packed).startswith(str(packed.year))


NEW_YEAR = Calculation(
    code="C34-new_year",
    title=_("Week date at the turn of the year"),
    family=Family.LABELLING,
    asks=_("Which week date goes on the pack? Mind the year."),
    givens=(_turning,),
    steps=(_turn_thursday, _turn_number, _turn_week, _turn_weekday, _turn_code),
    work=formulas.week_date,
    slips=(
        Slip(
            _("kept the calendar year"),
            _("A week belongs whole to the year of its Thursday."),
            {_turn_code: Rule("year({0})-W{1}-{2}", _written, (_turning, _turn_week, _turn_weekday))},
        ),
        _counted_from_january(_turn_thursday, _turning, sometimes=False),
        _counted_from_sunday(_turn_weekday, _turning),
    ),
    valid_for=_("days whose week belongs to the year before or after"),
    sources=("ISO-8601",),
    is_harmless=True,
    kind=AnswerKind.WEEK_DATE,
    accepts=_has_another_week_year,
)

_code = Coded(
    "code",
    name="code",
    says=_("week date on the pack"),
    # No year in it begins on a Sunday: there two of the slips would give the same day.
    first=date(2024, 1, 1),
    last=date(2029, 12, 30),
    write=formulas.week_date,
)


def _first_monday(code: str) -> date:
    return formulas.date_of_week(f"{code[:4]}-W01-1")


def _later(first: date, days: float) -> date:
    return first + timedelta(days=int(days))


_monday = Line.of("Mon", Rule("W01 of {0}", _first_monday, (_code,)), _("Monday of the first week"))
_coded_week = Line.of("w", Rule("week of {0}", lambda code: int(code[6:8]), (_code,)), _("week"))
_coded_day = Line.of("d", Rule("day of {0}", lambda code: int(code[9:]), (_code,)), _("day of the week"))
_after = Line.of("n", 7 * (_coded_week - 1) + _coded_day - 1, _("days after that Monday"))
_day = Line.of("packed", Rule("{0} + {1} days", _later, (_monday, _after)), _("packed on"))
FROM_WEEK = Calculation(
    code="C34-from_week",
    title=_("Date behind a week date"),
    family=Family.LABELLING,
    asks=_("On which day was the pack filled?"),
    givens=(_code,),
    steps=(_monday, _coded_week, _coded_day, _after, _day),
    work=formulas.date_of_week,
    slips=(
        Slip(
            _("counted the week number as weeks gone"),
            _("In week 01 no week is over yet: count one less."),
            {_after: _after + 7},
        ),
        Slip(
            _("counted the days from Sunday"),
            _SUNDAY,
            {_after: _after - 1},
        ),
        Slip(
            _("counted the weeks from 1 January"),
            _FROM_JANUARY,
            {_monday: Rule("1 January of {0}", lambda code: date(int(code[:4]), 1, 1), (_code,))},
            sometimes=True,
        ),
    ),
    valid_for=_("week dates of the years 1583 to 9998"),
    sources=("ISO-8601",),
    is_harmless=True,
    kind=AnswerKind.DATE,
)

_day_code = Coded(
    "code",
    name="code",
    says=_("day code on the pack, two digits of the year and three of the day"),
    first=date(2024, 1, 1),
    last=date(2029, 12, 31),
    write=formulas.day_code,
)


def _days_of_whole_months(code: str) -> int:
    return day_number(formulas.date_of_day_code(code).replace(day=1)) - 1


def _day_in_its_month(code: str, number: float, gone: float) -> date:
    month_begins = date(2000 + int(code[:2]), 1, 1) + timedelta(days=int(gone))
    return month_begins + timedelta(days=int(number - gone) - 1)


_day_of_year = Line.of(
    "n",
    Rule("last digits of {0}", lambda code: int(code[2:]), (_day_code,)),
    _("day of the year, the last three digits"),
)
_gone = Line.of(
    "m", Rule("months over in {0}", _days_of_whole_months, (_day_code,)), _("days of the months that are over")
)
_filled = Line.of(
    "packed",
    Rule("{0}: day {1} − {2}", _day_in_its_month, (_day_code, _day_of_year, _gone)),
    _("packed on, the rest counted in the next month"),
)


def _with_the_other_february(code: str) -> date:
    day = formulas.date_of_day_code(code)
    return day + timedelta(days=1 if _is_leap(day.year) else -1)


def _by_months_of_30_days(code: str) -> date:
    month, day = divmod(int(code[2:]) - 1, 30)
    return date(2000 + int(code[:2]), month + 1, day + 1)


def _is_leap(year: int) -> bool:
    return day_number(date(year, 12, 31)) == 366


FROM_DAY_CODE = Calculation(
    code="C34-from_day_code",
    title=_("Date behind a day code"),
    family=Family.LABELLING,
    asks=_("On which day was the pack filled? The code gives the year and the day of the year."),
    givens=(_day_code,),
    steps=(_day_of_year, _gone, _filled),
    work=formulas.date_of_day_code,
    slips=(
        Slip(
            _("got the leap day wrong"),
            _("February has 29 days in 2024 and 2028, and 28 in the years between."),
            {_filled: Rule("{0}, with the other February", _with_the_other_february, (_day_code,))},
        ),
        Slip(
            _("months of 30 days"),
            _("Take off the true lengths of the months, one after another."),
            {_filled: Rule("{0}, by months of 30 days", _by_months_of_30_days, (_day_code,))},
        ),
    ),
    valid_for=_("codes of the years 2000 to 2099"),
    sources=("ISO-8601",),
    is_harmless=True,
    kind=AnswerKind.DATE,
    # Before June months of 30 days go as wrong as the leap day does, or not at all; after day 360 they run out.
    accepts=lambda givens: int(str(givens["code"])[2:]) in range(153, 361),
)
