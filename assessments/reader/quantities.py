"""Read numbers and their units.

Decimal comma or point; thousands parted by spaces, thin spaces or apostrophes, or by the mark that is not the decimal
one ("1.234,5"); a power of ten ("1,2e6", "1.2 x 10^6", "1.2·10⁶"); a fraction ("1/3"). A single mark before exactly
three digits ("1,234") can mean two numbers: both are returned, and marking decides whether it must ask.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from assessments.quantities import Unit, UnknownUnitError, unit
from assessments.reader.tidying import UnreadableError, tidied
from assessments.vocabulary import gettext_noop

#: Largest power of ten of a readable number; anything beyond is a slip of the finger.
MAX_POWER = 15

_NO_NUMBER = gettext_noop("This starts with no number. Write it like 12.5 or 12,5 and put the unit after it.")
_GROUPS = gettext_noop("The digits are parted in an odd way. Write thousands like 12 500, or leave the spaces out.")
_TOO_LARGE = gettext_noop("That number is beyond anything in a plant: check the power of ten.")
_ZERO_BELOW = gettext_noop("A fraction cannot have 0 below the line.")
_UNKNOWN_UNIT = gettext_noop("“%(unit)s” is not a unit that is known here. Write it like g/L, °C, bar, kg or hL.")
_WHICH_UNIT = gettext_noop("“%(unit)s” can mean two sizes: write US gal, imp gal or US bbl.")
_NO_WHOLE = gettext_noop("Type a whole number.")

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
