"""Whether the units of a formula balance, and why not.

The rule
--------
Every figure and symbol has a unit; the tree is walked and the units are multiplied, divided and raised with it. What
comes out must be the unit of the answer itself, not only of its kind: hL times g/L is no kg until 100 [L/hL] and
1000 [g/kg] stand in the formula. A plain number has no unit and turns none into another.

Counts, fractions and relative densities are plain numbers, a percentage counts in hundredths, and so does an extract
in °P: they become fractions by / 100 [%] and / 100 [°P]. Percentages by weight and by volume are not added.

A temperature in °C or °F, and a gauge pressure, start from a zero of their own: one may be taken from another, and a
difference be added to one, but nothing else is done with them. exp, ln, log10 and exponents take plain numbers.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from math import isclose

from assessments.plant_formulas.reading import CONSTANTS, FormulaError
from assessments.plant_formulas.syntax import Call, Figure, Operation, Part, Symbol, parts_of
from assessments.quantities import Basis, Unit, UnknownUnitError, base_size, unit
from assessments.vocabulary import gettext_noop

_WORDS = 60
_PLAIN_WORDS = gettext_noop("a plain number")
_UNKNOWN = gettext_noop("“%(symbol)s” is neither given nor found by a step before this one.")
_NO_UNIT = gettext_noop("“%(unit)s” is not a unit that is known here. Write it like g/L, °C, bar, kg or hL.")
_OTHER_KIND = gettext_noop("The formula adds or subtracts %(left)s and %(right)s, which do not measure the same.")
_OTHER_UNIT = gettext_noop(
    "The formula adds or subtracts %(left)s and %(right)s. Turn one into the other first, as with 100 [L/hL]."
)
_OTHER_BASIS = gettext_noop("The formula joins %(left)s and %(right)s, which are counted on different bases.")
_TWO_ZEROS = gettext_noop(
    "%(left)s and %(right)s each start from a zero of their own: only their difference makes sense."
)
_TAKEN_OFF = gettext_noop("%(right)s starts from a zero of its own: it cannot be taken from a difference.")
_ZERO = gettext_noop(
    "%(words)s starts from a zero of its own: take a difference before anything else is done with it."
)
_NOT_PLAIN = gettext_noop("%(function)s takes a plain number, and this is %(words)s. Divide by the unit first.")
_EXPONENT = gettext_noop("A quantity with a unit can only be raised to a number that stands in the formula.")
_WRONG_KIND = gettext_noop(
    "The formula gives %(found)s, and this is to be in %(wanted)s: these do not measure the same."
)
_WRONG_UNIT = gettext_noop(
    "The formula gives %(found)s, and this is to be in %(wanted)s: %(one)s is %(other)s. Put in the number that turns "
    "one into the other, with its unit in square brackets, as in 100 [L/hL] or 100 [%%]."
)
_WRONG_ZERO = gettext_noop(
    "The formula gives %(found)s, and this is to be in %(wanted)s: one is a difference and the other is not."
)


@dataclass(frozen=True, slots=True)
class Size:
    """What a part of a formula measures: a factor times powers of base units, and how that is said.

    `zero` names the scale with a zero of its own on which it lies; `number` is its value when it is a plain figure.
    """

    factor: float = 1.0
    powers: Mapping[str, float] = field(default_factory=dict)
    words: str = _PLAIN_WORDS
    zero: str = ""
    basis: Basis | None = None
    number: float | None = None

    @property
    def is_plain(self) -> bool:
        """Return whether it is a number without any unit."""
        return not self.powers and isclose(self.factor, 1.0, rel_tol=1e-9)

    def is_same_kind(self, other: "Size") -> bool:
        """Return whether both measure the same, in whatever unit."""
        return self.powers == other.powers

    def is_same_unit(self, other: "Size") -> bool:
        """Return whether both are in one unit."""
        return self.is_same_kind(other) and isclose(self.factor, other.factor, rel_tol=1e-9)


def size_of_unit(spelling: str) -> Size:
    """Return the size of a unit as it is spelled; "" is a plain number.

    Raises
    ------
    FormulaError
        When nobody knows the unit.
    """
    if not spelling:
        return Size()
    try:
        known = unit(spelling)
    except UnknownUnitError:
        raise FormulaError(_NO_UNIT, unit=spelling) from None
    factor, powers = base_size(known)
    return Size(factor, powers, spelling, _zero_of(known), known.basis)


def _zero_of(known: Unit) -> str:
    if known.basis is Basis.GAUGE:
        return "gauge"
    is_scale = known.expression in {"celsius", "fahrenheit"} and known.basis is not Basis.DIFFERENCE
    return known.expression if is_scale else ""


def require_balance(part: Part, sizes: Mapping[str, Size], wanted_unit: str) -> None:
    """Raise FormulaError with the reason unless the formula comes out in the unit wanted, "" for a plain number."""
    found, wanted = size_of(part, sizes), size_of_unit(wanted_unit)
    words = {"found": found.words, "wanted": wanted.words}
    if not found.is_same_kind(wanted):
        raise FormulaError(_WRONG_KIND, **words)
    if not found.is_same_unit(wanted):
        one, other = _with_unit("1", found), _with_unit(f"{found.factor / wanted.factor:.6g}", wanted)
        raise FormulaError(_WRONG_UNIT, **words, one=one, other=other)
    if found.zero != wanted.zero:
        raise FormulaError(_WRONG_ZERO, **words)
    if {found.basis, wanted.basis} - {None, Basis.DIFFERENCE} not in ({found.basis}, {wanted.basis}, set()):
        raise FormulaError(_OTHER_BASIS, left=found.words, right=wanted.words)


def require_known(part: Part, sizes: Mapping[str, Size]) -> None:
    """Raise FormulaError when a symbol or a unit of the formula is unknown, whether or not its units balance."""
    for each, _depth in parts_of(part):
        if isinstance(each, Figure):
            size_of_unit(each.unit)
        elif isinstance(each, Symbol):
            _symbol(each.name, sizes)


def _with_unit(number: str, size: Size) -> str:
    return number if size.words == _PLAIN_WORDS else f"{number} {size.words}"


def size_of(part: Part, sizes: Mapping[str, Size]) -> Size:
    """Return what a formula measures, from what its symbols measure.

    Raises
    ------
    FormulaError
        When a symbol or unit is unknown, or the units do not go together.
    """
    if isinstance(part, Figure):
        return replace(size_of_unit(part.unit), number=None if part.unit else part.value)
    if isinstance(part, Symbol):
        return _symbol(part.name, sizes)
    if isinstance(part, Call):
        return _CALLS[part.function](part.function, size_of(part.of, sizes))
    return _OPERATIONS[part.sign](part, size_of(part.left, sizes), size_of(part.right, sizes))


def _symbol(name: str, sizes: Mapping[str, Size]) -> Size:
    if name in CONSTANTS:
        return Size(number=CONSTANTS[name])
    if name not in sizes:
        raise FormulaError(_UNKNOWN, symbol=name)
    return sizes[name]


def _sum(part: Operation, left: Size, right: Size) -> Size:
    words = {"left": left.words, "right": right.words}
    if not left.is_same_kind(right):
        raise FormulaError(_OTHER_KIND, **words)
    if not left.is_same_unit(right):
        raise FormulaError(_OTHER_UNIT, **words)
    bases = {left.basis, right.basis} - {None, Basis.DIFFERENCE, Basis.GAUGE}
    if len(bases) > 1:
        raise FormulaError(_OTHER_BASIS, **words)
    if left.zero and right.zero:
        return _difference(part.sign, left, right)
    if right.zero and part.sign == "-":
        raise FormulaError(_TAKEN_OFF, right=right.words)
    known = left if left.zero or not right.zero else right
    return replace(known, number=None, basis=known.basis or next(iter(bases), None))


def _difference(sign: str, left: Size, right: Size) -> Size:
    if sign == "+" or left.zero != right.zero:
        raise FormulaError(_TWO_ZEROS, left=left.words, right=right.words)
    words = left.words if left.zero == "gauge" else f"{left.words} difference"
    return Size(left.factor, left.powers, words)


def _product(part: Operation, left: Size, right: Size) -> Size:
    for each in (left, right):
        _refuse_zero(each)
    way = 1 if part.sign == "*" else -1
    powers = {
        name: left.powers.get(name, 0) + way * right.powers.get(name, 0) for name in {*left.powers, *right.powers}
    }
    factor = left.factor * right.factor**way
    return Size(factor, _tidy(powers), _joined(part.sign, left, right), number=_number(part.sign, left, right))


def _number(sign: str, left: Size, right: Size) -> float | None:
    """Return the value of a product of figures, so that 1/2 can be an exponent."""
    if left.number is None or right.number is None or (sign == "/" and right.number == 0):
        return None
    return left.number * right.number if sign == "*" else left.number / right.number


def _power(_part: Operation, base: Size, exponent: Size) -> Size:
    _refuse_zero(base)
    _require_plain("^", exponent)
    if base.is_plain:
        return Size()
    if exponent.number is None:
        raise FormulaError(_EXPONENT)
    return _raised(base, exponent.number, f"{_bracketed(base.words)}^{exponent.number:g}")


def _raised(base: Size, exponent: float, words: str) -> Size:
    powers = {name: power * exponent for name, power in base.powers.items()}
    try:
        factor = base.factor**exponent
    except OverflowError:
        raise FormulaError(_EXPONENT) from None
    return Size(factor, _tidy(powers), words)


def _tidy(powers: Mapping[str, float]) -> dict[str, float]:
    return {name: round(power, 9) for name, power in powers.items() if abs(power) > 1e-9}  # noqa: PLR2004 - rounding


def _joined(sign: str, left: Size, right: Size) -> str:
    if right.words == _PLAIN_WORDS:
        return left.words
    if left.words == _PLAIN_WORDS:
        words = right.words if sign == "*" else f"1 / {_bracketed(right.words)}"
    elif left.words == right.words and sign == "/":
        words = _PLAIN_WORDS
    else:
        words = f"{left.words} × {right.words}" if sign == "*" else f"{left.words} / {_bracketed(right.words)}"
    return words if len(words) <= _WORDS else f"{words[:_WORDS]}…"


def _bracketed(words: str) -> str:
    return f"({words})" if any(sign in words for sign in "/× ") else words


def _refuse_zero(size: Size) -> None:
    if size.zero:
        raise FormulaError(_ZERO, words=size.words)


def _require_plain(function: str, size: Size) -> None:
    if not size.is_plain:
        raise FormulaError(_NOT_PLAIN, function=function, words=size.words)


def _root(_function: str, of: Size) -> Size:
    _refuse_zero(of)
    return Size() if of.is_plain else _raised(of, 0.5, f"√({of.words})")


def _of_plain(function: str, of: Size) -> Size:
    _require_plain(function, of)
    return Size()


def _rounded(_function: str, of: Size) -> Size:
    return replace(of, number=None)


def _negative(_function: str, of: Size) -> Size:
    _refuse_zero(of)
    return replace(of, number=None if of.number is None else -of.number)


_OPERATIONS: Mapping[str, Callable[[Operation, Size, Size], Size]] = {
    "+": _sum,
    "-": _sum,
    "*": _product,
    "/": _product,
    "^": _power,
}
_CALLS: Mapping[str, Callable[[str, Size], Size]] = {
    "-": _negative,
    "sqrt": _root,
    "exp": _of_plain,
    "ln": _of_plain,
    "log10": _of_plain,
    "ceil": _rounded,
    "floor": _rounded,
}
