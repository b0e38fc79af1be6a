"""Week dates and day codes, framework code C34."""

from dataclasses import dataclass
from datetime import date, timedelta

from assessments.calculations.frame import Calculation, Coded, Day, Givens, Slip
from assessments.formulas import week_dates as formulas
from assessments.formulas.date_codes import day_number
from assessments.notation import Line, Rule
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


def _by_weeks_from_january(packed: date) -> str:
    return f"{packed.year}-W{(day_number(packed) - 1) // 7 + 1:02}-{packed.isoweekday()}"


def _with_calendar_year(packed: date) -> str:
    return f"{packed.year}{formulas.week_date(packed)[4:]}"


def _with_sunday_first(packed: date) -> str:
    return f"{formulas.week_date(packed)[:-1]}{packed.isoweekday() % 7 + 1}"


def _with_days_from_0(packed: date) -> str:
    return f"{formulas.week_date(packed)[:-1]}{packed.isoweekday() - 1}"


_packed = Day("packed", name="packed", says=_("packed on"), first=date(2023, 1, 1), last=date(2029, 12, 31))
_week = Line.of("code", Rule("week date of {0}", formulas.week_date, (_packed,)), _("year, week and day of the week"))
_SUNDAY = _("The standard counts Monday as day 1 and Sunday as day 7.")
_FROM_JANUARY = _("Week 01 is the week with the first Thursday of the year, not the one from 1 January.")
WEEK_DATE = Calculation(
    code="C34-week_date",
    title=_("Week date"),
    family=Family.LABELLING,
    asks=_("Which week date goes on the pack? Year, W and week, day of the week."),
    givens=(_packed,),
    steps=(_week,),
    work=formulas.week_date,
    slips=(
        Slip(
            _("counted the days from Sunday"),
            _SUNDAY,
            {_week: Rule("{0}, Sunday as 1", _with_sunday_first, (_packed,))},
        ),
        Slip(
            _("counted the days from 0"),
            _SUNDAY,
            {_week: Rule("{0}, Monday as 0", _with_days_from_0, (_packed,))},
        ),
        Slip(
            _("counted the weeks from 1 January"),
            _FROM_JANUARY,
            {_week: Rule("{0}, weeks from 1 January", _by_weeks_from_january, (_packed,))},
            sometimes=True,
        ),
    ),
    valid_for=_("the calendar in use"),
    sources=("ISO-8601",),
    is_harmless=True,
    kind=AnswerKind.WEEK_DATE,
)

_turning = _AroundNewYear(
    "packed", name="packed", says=_("packed on"), first=date(2014, 12, 29), last=date(2040, 1, 3)
)
_turned = Line.of(
    "code", Rule("week date of {0}", formulas.week_date, (_turning,)), _("year, week and day of the week")
)


def _has_another_week_year(givens: Givens) -> bool:
    packed = givens["packed"]
    return isinstance(packed, date) and not formulas.week_date(packed).startswith(str(packed.year))


NEW_YEAR = Calculation(
    code="C34-new_year",
    title=_("Week date at the turn of the year"),
    family=Family.LABELLING,
    asks=_("Which week date goes on the pack? Mind the year."),
    givens=(_turning,),
    steps=(_turned,),
    work=formulas.week_date,
    slips=(
        Slip(
            _("kept the calendar year"),
            _("A week belongs whole to the year of its Thursday."),
            {_turned: Rule("{0}, calendar year", _with_calendar_year, (_turning,))},
        ),
        Slip(
            _("counted the weeks from 1 January"),
            _FROM_JANUARY,
            {_turned: Rule("{0}, weeks from 1 January", _by_weeks_from_january, (_turning,))},
        ),
        Slip(
            _("counted the days from Sunday"),
            _SUNDAY,
            {_turned: Rule("{0}, Sunday as 1", _with_sunday_first, (_turning,))},
        ),
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
_day = Line.of("packed", Rule("day of {0}", formulas.date_of_week, (_code,)), _("packed on"))


def _from_first_of_january(code: str) -> date:
    year, week, weekday = code.split("-")
    return date(int(year), 1, 1) + timedelta(days=7 * (int(week[1:]) - 1) + int(weekday) - 1)


FROM_WEEK = Calculation(
    code="C34-from_week",
    title=_("Date behind a week date"),
    family=Family.LABELLING,
    asks=_("On which day was the pack filled?"),
    givens=(_code,),
    steps=(_day,),
    work=formulas.date_of_week,
    slips=(
        Slip(
            _("counted the week number as weeks gone"),
            _("In week 01 no week is over yet: count one less."),
            {
                _day: Rule(
                    "{0}, all weeks gone", lambda code: formulas.date_of_week(code) + timedelta(days=7), (_code,)
                )
            },
        ),
        Slip(
            _("counted the days from Sunday"),
            _SUNDAY,
            {_day: Rule("{0}, Sunday as 1", lambda code: formulas.date_of_week(code) - timedelta(days=1), (_code,))},
        ),
        Slip(
            _("counted the weeks from 1 January"),
            _FROM_JANUARY,
            {_day: Rule("{0} from 1 January", _from_first_of_january, (_code,))},
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
_filled = Line.of("packed", Rule("day of {0}", formulas.date_of_day_code, (_day_code,)), _("packed on"))


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
    steps=(_filled,),
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
