"""Read what a person typed as an answer: a number with a unit, digits, a date, a choice.

Numbers: decimal comma or point; thousands parted by spaces, thin spaces or apostrophes, or by the mark that is
not the decimal one ("1.234,5"); a power of ten ("1,2e6", "1.2 x 10^6", "1.2·10⁶"); a fraction ("1/3"). A single
mark before exactly three digits ("1,234") can mean two numbers: both are returned, and marking decides whether it
must ask. Digits of other scripts count as digits, and marks that nobody sees (the direction of the text, a soft
hyphen) are left out. Dates: ISO, or day, month, year in figures or words.
"""

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from assessments.quantities import Unit, UnknownUnitError, unit
from assessments.vocabulary import gettext_noop

MAX_LENGTH = 40
#: Largest power of ten of a readable number; anything beyond is a slip of the finger.
MAX_POWER = 15


class UnreadableError(ValueError):
    """The answer could not be read. `message` is for the field, with %(name)s places for `params`."""

    def __init__(self, message: str, **params: str) -> None:
        super().__init__(message % params if params else message)
        self.message = message
        self.params = params


@dataclass(frozen=True, slots=True)
class TypedNumber:
    """A number as typed. `exponent` is the power of ten of its last digit: -2 for 1.25, 5 for 1.2e6."""

    value: Decimal
    exponent: int


@dataclass(frozen=True, slots=True)
class TypedQuantity:
    """A number with the unit that was typed, if any.

    `other` is the second thing the figures can mean; `is_comma` tells whether a comma stands between them.
    """

    number: TypedNumber
    unit: Unit | None = None
    other: TypedNumber | None = None
    is_comma: bool = False


_EMPTY = gettext_noop("Type your answer.")
_TOO_LONG = gettext_noop("That is longer than 40 characters: type just the number and its unit.")
_NO_NUMBER = gettext_noop("This starts with no number. Write it like 12.5 or 12,5 and put the unit after it.")
_GROUPS = gettext_noop("The digits are parted in an odd way. Write thousands like 12 500, or leave the spaces out.")
_TOO_LARGE = gettext_noop("That number is beyond anything in a plant: check the power of ten.")
_ZERO_BELOW = gettext_noop("A fraction cannot have 0 below the line.")
_UNKNOWN_UNIT = gettext_noop("“%(unit)s” is not a unit that is known here. Write it like g/L, °C, bar, kg or hL.")
_WHICH_UNIT = gettext_noop("“%(unit)s” can mean two sizes: write US gal, imp gal or US bbl.")
_NO_DATE = gettext_noop("Write the date as year-month-day, like 2026-02-28, or as 28 Feb 2026.")
_NO_WEEK_DATE = gettext_noop("Write the week date as year, W and week, day of the week, like 2026-W09-6.")
_NO_SUCH_DAY = gettext_noop("There is no such day in the calendar.")
_NO_DIGITS = gettext_noop("Type the digit alone, 0 to 9.")
_NO_WHOLE = gettext_noop("Type a whole number.")
_NO_CHOICE = gettext_noop("Pick one of the answers offered.")

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_TIDY = str.maketrans({
    "−": "-", "–": "-", "—": "-", "’": "'", "ʼ": "'", "⁄": "/", "×": "x", "⋅": "·", "∙": "·",  # noqa: RUF001 - signs people type
    "\u066b": ".", "\u066c": "'",
})  # fmt: skip
_UNSURE_UNITS = {"gal", "gals", "gallon", "gallons", "bbl", "bbls", "barrel", "barrels"}
_NUMBER = re.compile(
    r"(?P<sign>[+-]?)\s?"
    r"(?:(?:(?P<ones>\d{1,4})\s)?(?P<top>\d{1,6})\s?/\s?(?P<bottom>\d{1,6})(?![\d.,])"
    r"|(?P<figures>(?:\d[\d.,' ]*)?\d|[.,]\d+)\.?"
    r"(?:e(?P<power>[+-]?\d+)|\s?[x*·]\s?10\s?\^\s?(?P<raised>[+-]?\d+))?"
    r"|10\s?\^\s?(?P<alone>[+-]?\d+))"
)

#: Stands before the others: "10^6" alone would otherwise be read as ten.
_POWER_ALONE = re.compile(r"(?P<sign>[+-]?)(?P<figures>)(?P<top>)10\s?\^\s?(?P<alone>[+-]?\d+)")
_CAPITAL = re.compile(r"(?<=[\d.,])E(?=[+-]?\d)|(?<=[\d ])X(?= ?10 ?\^)")
#: "22 500 1/h" is a rate, not a fraction.
_RATE = re.compile(r"(?<=\d) 1 ?/ ?(?=[a-z])")
_RAISED = re.compile(r"(10)\s?([⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+)")
_MIXED = re.compile(r"([0-9])([¼½¾⅓⅔⅛⅜⅝⅞])")


def tidied(text: str) -> str:
    """Return typed text with one kind of space, minus and apostrophe, and superscripts as ^n.

    Raises
    ------
    UnreadableError
        When nothing or too much was typed.
    """
    if len(text) > MAX_LENGTH:
        raise UnreadableError(_TOO_LONG)
    plain = text if text.isascii() else _in_ascii(text)
    plain = " ".join(plain.split()).lstrip("=≈~ ")
    if not plain:
        raise UnreadableError(_EMPTY)
    return plain


def _in_ascii(text: str) -> str:
    """Return the text with whatever has a plainer form in that form; what has none stays."""
    raised = _RAISED.sub(lambda found: f"{found[1]}^{found[2].translate(_SUPERSCRIPTS)}", text)
    parted = _MIXED.sub(r"\1 \2", raised.translate(_TIDY))
    return "".join(map(_plain, unicodedata.normalize("NFKC", parted).translate(_TIDY)))


def _plain(character: str) -> str:
    if character.isascii():
        return character
    if unicodedata.category(character) == "Cf":
        return ""
    digit = unicodedata.decimal(character, None)
    return character if digit is None else str(digit)


def read_quantity(text: str) -> TypedQuantity:
    """Return the number and unit that were typed.

    Raises
    ------
    UnreadableError
        With a message for the field.
    """
    plain = _RATE.sub(" /", tidied(text))
    found = _match_number(plain)
    typed_unit = _read_unit(plain[found.end() :])
    numbers = _numbers(found)
    if any(abs(number.value.adjusted()) > MAX_POWER and number.value for number in numbers):
        raise UnreadableError(_TOO_LARGE)
    other = numbers[1] if len(numbers) > 1 else None
    return TypedQuantity(numbers[0], typed_unit, other, is_comma="," in (found["figures"] or ""))


def _match_number(plain: str) -> re.Match[str]:
    lowered = _CAPITAL.sub(lambda capital: capital[0].lower(), plain)
    found = _POWER_ALONE.match(lowered) or _NUMBER.match(lowered)
    if found is None or not lowered[: found.end()].replace("·", "").isascii():
        raise UnreadableError(_NO_NUMBER)
    return found


def _read_unit(rest: str) -> Unit | None:
    spelling = rest.strip().rstrip(".")
    if not spelling:
        return None
    if spelling.casefold() in _UNSURE_UNITS:
        raise UnreadableError(_WHICH_UNIT, unit=spelling)
    if spelling[0].isdigit() and not spelling.startswith("1/"):
        raise UnreadableError(_GROUPS)
    try:
        return unit(spelling)
    except UnknownUnitError:
        raise UnreadableError(_UNKNOWN_UNIT, unit=spelling) from None


def _numbers(found: re.Match[str]) -> list[TypedNumber]:
    groups = found.groupdict()
    sign = -1 if groups["sign"] == "-" else 1
    if groups["alone"]:
        return [_scaled("1", int(groups["alone"]), sign)]
    if groups["top"]:
        return [_fraction(groups, sign)]
    power = int(groups.get("power") or groups.get("raised") or 0)
    return [_scaled(figures, power, sign) for figures in _readings(groups["figures"])]


def _fraction(groups: dict[str, str | None], sign: int) -> TypedNumber:
    ones, top, bottom = (int(groups.get(name) or 0) for name in ("ones", "top", "bottom"))
    if bottom == 0:
        raise UnreadableError(_ZERO_BELOW)
    if groups.get("ones") and top >= bottom:
        raise UnreadableError(_GROUPS)
    # A fraction is exact: give it as many places as a float can hold.
    share = sign * (ones + Fraction(top, bottom))
    return TypedNumber(Decimal(share.numerator) / Decimal(share.denominator), -15)


def _scaled(figures: str, power: int, sign: int) -> TypedNumber:
    if abs(power) > 4 * MAX_POWER:
        raise UnreadableError(_TOO_LARGE)
    places = len(figures.partition(".")[2])
    return TypedNumber(sign * Decimal(figures).scaleb(power), power - places)


def _readings(figures: str) -> list[str]:
    """Return the number or the two numbers that the figures can mean, each with a decimal point."""
    marks = [character for character in figures if character in ".,"]
    last = marks[-1] if marks else ""
    if not marks:
        return [_ungrouped(figures, "' ")]
    if len(set(marks)) > 1:
        if marks.count(last) > 1:
            raise UnreadableError(_GROUPS)
        whole, _, part = figures.rpartition(last)
        return [_joined(_ungrouped(whole, marks[0]), part)]
    if len(marks) > 1:
        return [_ungrouped(figures, last)]
    whole, _, part = figures.partition(last)
    decimal = _joined(_ungrouped(whole, "' ") if whole else "0", part)
    if re.fullmatch(r"[1-9]\d{0,2}", whole) and re.fullmatch(r"\d{3}", part):
        return [decimal, whole + part]
    return [decimal]


def _joined(whole: str, part: str) -> str:
    if not part.isdigit():
        raise UnreadableError(_GROUPS)
    return f"{whole}.{part}"


def _ungrouped(figures: str, marks: str) -> str:
    if figures.isdigit():
        return figures
    for mark in marks:
        if re.fullmatch(rf"\d{{1,3}}(?:{re.escape(mark)}\d{{3}})+", figures):
            return figures.replace(mark, "")
    raise UnreadableError(_GROUPS)


def read_whole(text: str) -> TypedQuantity:
    """Return a whole number, with whatever word was put after it.

    Raises
    ------
    UnreadableError
        Also when the number has decimals.
    """
    typed = read_quantity(text)
    readings = [number for number in (typed.number, typed.other) if number and number.value == int(number.value)]
    if not readings:
        raise UnreadableError(_NO_WHOLE)
    return TypedQuantity(readings[0], typed.unit, readings[1] if len(readings) > 1 else None, is_comma=typed.is_comma)


def read_digit(text: str) -> str:
    """Return the digits typed; "10" is returned as it stands, since it is a slip and not a blot.

    Raises
    ------
    UnreadableError
        When something else than one or two digits was typed.
    """
    plain = tidied(text)
    if not re.fullmatch(r"[0-9]{1,2}", plain):
        raise UnreadableError(_NO_DIGITS)
    return plain


def read_choice(text: str, options: tuple[str, ...]) -> str:
    """Return the option typed or picked, whatever its case.

    Raises
    ------
    UnreadableError
        When it is none of them.
    """
    plain = re.sub(r"\s+", " ", text[: 2 * MAX_LENGTH]).strip().casefold()
    for option in options:
        if plain == option.casefold():
            return option
    raise UnreadableError(_NO_CHOICE)


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
