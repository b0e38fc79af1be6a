"""Read dates: ISO, or day, month, year in figures or words; and week dates."""

import re
from datetime import date

from assessments.reader.tidying import UnreadableError, tidied
from assessments.vocabulary import gettext_noop

_NO_DATE = gettext_noop("Write the date as year-month-day, like 2026-02-28, or as 28 Feb 2026.")
_NO_WEEK_DATE = gettext_noop("Write the week date as year, W and week, day of the week, like 2026-W09-6.")
_NO_SUCH_DAY = gettext_noop("There is no such day in the calendar.")
_YEAR_DIGITS = 4
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FULL_MONTHS = (
    "january february march april may june july august september october november december".split()  # noqa: SIM905 - shorter
)
_DATE_FORMS = (
    re.compile(r"(?P<year>[0-9]{4})[-/. ](?P<month>[0-9]{1,2})[-/. ](?P<day>[0-9]{1,2})"),
    re.compile(r"(?P<year>[0-9]{4})(?P<month>[0-9]{2})(?P<day>[0-9]{2})"),
    re.compile(r"(?P<day>[0-9]{1,2})(?:[-/ ]|\. ?)(?P<month>[0-9]{1,2})(?:[-/ ]|\. ?)(?P<year>[0-9]{4})"),
    re.compile(r"(?P<day>[0-9]{1,2})[/.](?P<month>[0-9]{1,2})[/.](?P<year>[0-9]{2})"),
    re.compile(r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?\.?[- ]?(?:of )?(?P<name>[a-z]{3,9})\.?,?[- ]?(?P<year>[0-9]{4})"),
    re.compile(r"(?P<name>[a-z]{3,9})\.? (?P<day>[0-9]{1,2})(?:st|nd|rd|th)?,? (?P<year>[0-9]{4})"),
)


def read_date(text: str) -> date:
    """Return the date typed: year-month-day, or day, month, year as the plant says it, in figures or words.

    Raises
    ------
    UnreadableError
        When it is no date, or no day of the calendar.
    """
    plain = tidied(text).casefold()
    for form in _DATE_FORMS:
        found = form.fullmatch(plain)
        if found:
            return _date(found.groupdict())
    raise UnreadableError(_NO_DATE)


_WEEK_DATE = re.compile(r"(?P<year>[0-9]{4})[- ]?w ?(?P<week>[0-9]{1,2})(?:[- ]|(?<=w[0-9]{2}))(?P<day>[0-9])")


def read_week_date(text: str) -> str:
    """Return the week date typed, such as 2026-W09-6; hyphens may be spaces or left out.

    Raises
    ------
    UnreadableError
        When it is no week date. Whether the year has such a week is for marking to tell.
    """
    found = _WEEK_DATE.fullmatch(tidied(text).casefold())
    if found is None:
        raise UnreadableError(_NO_WEEK_DATE)
    return f"{found['year']}-W{int(found['week']):02}-{found['day']}"


def _date(parts: dict[str, str]) -> date:
    month = _month_number(parts["name"]) if "name" in parts else int(parts["month"])
    year = int(parts["year"]) + (0 if len(parts["year"]) == _YEAR_DIGITS else 2000)
    try:
        return date(year, month, int(parts["day"]))
    except ValueError:
        raise UnreadableError(_NO_SUCH_DAY) from None


def _month_number(name: str) -> int:
    for place, (short, full) in enumerate(zip(_MONTHS, _FULL_MONTHS, strict=True), start=1):
        if name in {short, full} or (short == "sep" and name == "sept"):
            return place
    raise UnreadableError(_NO_DATE)
