"""Read the value of a given as somebody states it: "4 degC", "12 psi", "2025-08-31", "200012345678"."""

from collections.abc import Mapping

from assessments.calculations.frame import Coded, Day, Digits, Given, Measured, Word
from assessments.formulas.constants import STANDARD_ATMOSPHERE
from assessments.quantities import UnknownUnitError, convert, unit
from assessments.reader import UnreadableError, read_choice, read_date, read_quantity
from assessments.vocabulary import Value

_DIGIT_COUNTS = range(7, 18)
#: Counts, gravities, fractions and absorbances may be given bare: nothing else could be meant.
_BARE = {"units", "SG", "fraction", "months", "AU", "fold"}


class GivenValueError(ValueError):
    """A value of a given that does not fit; the message names it."""


def read_givens(givens: tuple[Given, ...], texts: Mapping[str, str]) -> dict[str, Value]:
    """Return the values stated for the givens by name, the usual value where one was left out.

    A pressure of the air that is given serves the change from absolute to gauge in the others.

    Raises
    ------
    GivenValueError
        When one is missing or cannot be read.
    """
    values: dict[str, Value] = {}
    atmosphere = STANDARD_ATMOSPHERE.value
    for given in sorted(givens, key=lambda each: each.name != "atmosphere"):
        if given.name in texts:
            value = read_given(given, texts[given.name], atmosphere_bar=atmosphere)
        elif usual_value(given) is not None:
            value = usual_value(given) or 0.0
        else:
            raise GivenValueError(f"{given.name} is missing.")
        if given.name == "atmosphere" and isinstance(value, float):
            atmosphere = value
        values[given.name] = value
    return {given.name: values[given.name] for given in givens}


def usual_value(given: Given) -> float | None:
    """Return the value that a given has unless somebody says otherwise."""
    return given.usual if isinstance(given, Measured) else None


def read_given(given: Given, text: str, *, atmosphere_bar: float = STANDARD_ATMOSPHERE.value) -> Value:
    """Return the value stated for a given, in the unit of its calculation.

    Raises
    ------
    GivenValueError
        When it cannot be read, has no unit, or a unit of another kind.
    """
    try:
        return _read(given, text, atmosphere_bar)
    except UnreadableError as error:
        raise GivenValueError(f"{given.name}: {error}") from error
    except UnknownUnitError as error:
        raise GivenValueError(f"{given.name} is measured in {_unit_of(given)}, not as {text!r}.") from error


def _read(given: Given, text: str, atmosphere_bar: float) -> Value:
    if isinstance(given, Day):
        return read_date(text)
    if isinstance(given, Word):
        return read_choice(text, given.options)
    if isinstance(given, Coded):
        # The formula refuses what is no code.
        return text.strip().upper()
    if isinstance(given, Digits):
        return _read_digits(given, text)
    if isinstance(given, Measured):
        return _read_measured(given, text, atmosphere_bar)
    raise TypeError(f"{given.name} is of no known kind.")


def _unit_of(given: Given) -> str:
    return given.unit if isinstance(given, Measured) else "no unit"


def _read_digits(given: Digits, text: str) -> str:
    digits = text.replace(" ", "")
    if not (digits.isascii() and digits.isdigit() and len(digits) in _DIGIT_COUNTS):
        raise GivenValueError(f"{given.name} takes 7 to 17 digits, the check digit left off.")
    return digits


def _read_measured(given: Measured, text: str, atmosphere_bar: float) -> float:
    typed = read_quantity(text)
    if typed.other is not None and typed.is_comma:
        raise GivenValueError(f"{given.name}: {text!r} can mean two numbers; write it without the comma.")
    value = float(typed.number.value)
    if typed.unit is None:
        if given.unit not in _BARE:
            raise GivenValueError(f'{given.name} needs a unit, such as {given.name}="{text} {given.unit}".')
    else:
        value = convert(value, typed.unit, unit(given.unit), atmosphere_bar=atmosphere_bar)
    if given.unit in {"units", "months"} and value != int(value):
        raise GivenValueError(f"{given.name} is counted in whole numbers.")
    return value
