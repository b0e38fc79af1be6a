"""Numbers and MathML as they are printed."""

from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal

from assessments.vocabulary import Value

MINUS = "−"
#: Numbers of so many digits are parted by thin spaces.
_GROUPED_FROM = 5


def plain(value: float) -> str:
    """Return a number to twelve significant digits, with a true minus."""
    text = f"{value:.12g}"
    return MINUS + text[1:] if text.startswith("-") else text


def rounded(value: float, decimals: int, *, round_up: bool = False) -> Decimal:
    """Return a number rounded half up, or up, to a decimal place.

    Taken to 12 significant digits first: the last bits differ from machine to machine and must not decide.
    """
    place = Decimal(1).scaleb(-decimals)
    steady = Decimal(f"{value:.12g}")
    rounding = ROUND_CEILING if round_up else ROUND_HALF_UP
    result = steady.quantize(place, rounding=rounding, context=Context(prec=90))
    return abs(result) if result == 0 else result


def written(value: Value, *, decimals: int | None = None, round_up: bool = False) -> str:
    """Return a value as it is written: numbers to their place, parted by thin spaces; dates in ISO form."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str):
        return value
    text = plain(value) if decimals is None else f"{rounded(value, decimals, round_up=round_up):f}"
    text = text.replace("-", MINUS) if "e" not in text else text
    whole, point, rest = text.partition(".")
    return _grouped(whole) + point + rest


def _grouped(whole: str) -> str:
    sign = MINUS if whole.startswith(MINUS) else ""
    digits = whole.removeprefix(MINUS)
    if not digits.isdigit() or len(digits) < _GROUPED_FROM:
        return whole
    return f"{sign}{int(digits):,}".replace(",", "\u2009")


def math_element(inside: str, *, display: str = "block") -> str:
    """Return presentation MathML ready for a page, on a line of its own or "inline"."""
    return f'<math xmlns="http://www.w3.org/1998/Math/MathML" display="{display}">{inside}</math>'
