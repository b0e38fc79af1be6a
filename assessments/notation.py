"""Formulas that can be evaluated, shown with symbols, shown with numbers, and got wrong on purpose.

A formula is a small tree. Its named nodes (what is given, what a step finds, a constant) carry a symbol and are
shown by it or by their value. A slip replaces some nodes by others, so one tree yields the right answer, every
wrong one, and any two slips at once. The tree prints as presentation MathML and as one line of plain text.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal
from html import escape
from typing import Self

from assessments.vocabulary import Value

MINUS = "−"
#: Numbers of so many digits are parted by thin spaces.
_GROUPED_FROM = 5
_SUM, _PRODUCT, _POWER, _ATOM = range(4)
_NO_VALUES: Mapping[str, Value] = {}
_NO_SLIPS: Mapping["Node", "Node"] = {}


@dataclass(frozen=True, eq=False)
class Scope:
    """The values of what is given, by name, and the nodes that a slip replaces."""

    values: Mapping[str, Value] = field(default_factory=lambda: _NO_VALUES)
    slips: Mapping["Node", "Node"] = field(default_factory=lambda: _NO_SLIPS)

    def value_of(self, node: "Node") -> Value:
        """Return the value of a node, or of what a slip puts in its place.

        The replacement sees the node itself as it was, so that "hectolitres taken as litres" can be written as
        the volume over 100.
        """
        replacement = self.slips.get(node)
        if replacement is None:
            return node.evaluate(self)
        rest = {old: new for old, new in self.slips.items() if old is not node}
        return replacement.evaluate(replace(self, slips=rest))

    def number_of(self, node: "Node") -> float:
        """Return the value of a node that must be a number."""
        value = self.value_of(node)
        if isinstance(value, str | date):
            raise TypeError(f"{node!r} is no number.")
        return value


@dataclass(frozen=True, eq=False)
class Look:
    """How a tree is printed: with symbols (no scope) or with the numbers of a scope; as MathML or as text."""

    scope: Scope | None = None
    as_markup: bool = True


class Node:
    """A part of a formula. Arithmetic on nodes makes larger ones."""

    rank = _ATOM

    def evaluate(self, scope: Scope) -> Value:
        """Return the node's value."""
        raise NotImplementedError

    def printed(self, look: Look) -> str:
        """Return the node as MathML or text."""
        raise NotImplementedError

    def bracketed(self, look: Look, rank: int) -> str:
        """Return the node in brackets where its rank is below the one asked for."""
        inside = self.printed(look)
        if self.rank >= rank:
            return inside
        return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>" if look.as_markup else f"({inside})"

    def __add__(self, other: "Node | float") -> "Node":
        return Sum(self, _node(other), "+")

    def __radd__(self, other: float) -> "Node":
        return Sum(_node(other), self, "+")

    def __sub__(self, other: "Node | float") -> "Node":
        return Sum(self, _node(other), MINUS)

    def __rsub__(self, other: float) -> "Node":
        return Sum(_node(other), self, MINUS)

    def __mul__(self, other: "Node | float") -> "Node":
        return Product(self, _node(other))

    def __rmul__(self, other: float) -> "Node":
        return Product(_node(other), self)

    def __truediv__(self, other: "Node | float") -> "Node":
        return Quotient(self, _node(other))

    def __rtruediv__(self, other: float) -> "Node":
        return Quotient(_node(other), self)

    def __pow__(self, other: "Node | float") -> "Node":
        return Power(self, _node(other))

    def __rpow__(self, other: float) -> "Node":
        return Power(_node(other), self)


def _node(value: Node | float) -> Node:
    return value if isinstance(value, Node) else Number(value)


def _operator(sign: str, look: Look) -> str:
    return f"<mo>{sign}</mo>" if look.as_markup else f" {sign} "


def _row(inside: str, look: Look) -> str:
    return f"<mrow>{inside}</mrow>" if look.as_markup else inside


def _plain(value: float) -> str:
    text = f"{value:.12g}"
    return MINUS + text[1:] if text.startswith("-") else text


def _digits(text: str, look: Look) -> str:
    if not look.as_markup:
        return text
    if text.startswith(MINUS):
        return f"<mrow><mo>{MINUS}</mo><mn>{escape(text[1:])}</mn></mrow>"
    return f"<mn>{escape(text)}</mn>"


@dataclass(frozen=True, eq=False)
class Number(Node):
    """A figure that stands in the formula itself."""

    value: float

    def evaluate(self, scope: Scope) -> float:
        """Return the figure."""
        return self.value

    def printed(self, look: Look) -> str:
        """Return the figure."""
        return _digits(_plain(self.value), look)


@dataclass(frozen=True, eq=False)
class Named(Node):
    """A node with a symbol. `T_s` is printed with a subscript."""

    symbol: str

    def show(self, value: Value) -> str:
        """Return the value as it is written in a calculation, without its unit."""
        raise NotImplementedError

    def symbol_printed(self, look: Look) -> str:
        """Return the symbol."""
        letter, _, below = self.symbol.partition("_")
        if not look.as_markup:
            return self.symbol
        base = _identifier(letter)
        return f"<msub>{base}<mtext>{escape(below)}</mtext></msub>" if below else base

    def printed(self, look: Look) -> str:
        """Return the symbol, or the value in a scope."""
        if look.scope is None:
            return self.symbol_printed(look)
        text = self.show(look.scope.value_of(self))
        shown = _digits(text, look)
        if not text.startswith(MINUS):
            return shown
        return f"<mrow><mo>(</mo>{shown}<mo>)</mo></mrow>" if look.as_markup else f"({text})"


def _identifier(letters: str) -> str:
    if len(letters) == 1:
        return f"<mi>{escape(letters)}</mi>"
    return f'<mi mathvariant="normal">{escape(letters)}</mi>'


@dataclass(frozen=True, eq=False)
class Sum(Node):
    """Two nodes added or, with a minus sign, subtracted."""

    left: Node
    right: Node
    sign: str
    rank = _SUM

    def evaluate(self, scope: Scope) -> float:
        """Return the sum or difference."""
        left, right = scope.number_of(self.left), scope.number_of(self.right)
        return left + right if self.sign == "+" else left - right

    def printed(self, look: Look) -> str:
        """Return left, sign and right."""
        right_rank = _SUM if self.sign == "+" else _PRODUCT
        right = self.right.bracketed(look, right_rank)
        return _row(self.left.bracketed(look, _SUM) + _operator(self.sign, look) + right, look)


@dataclass(frozen=True, eq=False)
class Product(Node):
    """Two nodes multiplied."""

    left: Node
    right: Node
    rank = _PRODUCT

    def evaluate(self, scope: Scope) -> float:
        """Return the product."""
        return scope.number_of(self.left) * scope.number_of(self.right)

    def printed(self, look: Look) -> str:
        """Return both factors with a cross between."""
        factors = (self.left.bracketed(look, _PRODUCT), self.right.bracketed(look, _PRODUCT))
        return _row(_operator("×", look).join(factors), look)


@dataclass(frozen=True, eq=False)
class Quotient(Node):
    """One node over another."""

    top: Node
    bottom: Node
    rank = _PRODUCT

    def evaluate(self, scope: Scope) -> float:
        """Return the quotient."""
        return scope.number_of(self.top) / scope.number_of(self.bottom)

    def printed(self, look: Look) -> str:
        """Return a fraction."""
        if look.as_markup:
            return f"<mfrac>{self.top.printed(look)}{self.bottom.printed(look)}</mfrac>"
        return f"{self.top.bracketed(look, _PRODUCT)} / {self.bottom.bracketed(look, _POWER)}"


@dataclass(frozen=True, eq=False)
class Power(Node):
    """One node raised to another."""

    base: Node
    exponent: Node
    rank = _POWER

    def evaluate(self, scope: Scope) -> float:
        """Return the power."""
        return float(scope.number_of(self.base) ** scope.number_of(self.exponent))

    def printed(self, look: Look) -> str:
        """Return base and exponent."""
        if look.as_markup:
            return f"<msup>{self.base.bracketed(look, _ATOM)}{self.exponent.printed(look)}</msup>"
        return f"{self.base.bracketed(look, _ATOM)}^{self.exponent.bracketed(look, _ATOM)}"


@dataclass(frozen=True, eq=False)
class Function(Node):
    """A named function of one number."""

    name: str
    of: Node
    compute: Callable[[float], float]
    opening: str = "("
    closing: str = ")"

    def evaluate(self, scope: Scope) -> float:
        """Return the function's value."""
        return self.compute(scope.number_of(self.of))

    def printed(self, look: Look) -> str:
        """Return the name and its argument in brackets."""
        inside = self.of.printed(look)
        if not look.as_markup:
            return f"{self.name}{self.opening}{inside}{self.closing}"
        name = f'<mi mathvariant="normal">{self.name}</mi>' if self.name else ""
        return f"<mrow>{name}<mo>{self.opening}</mo>{inside}<mo>{self.closing}</mo></mrow>"


def exponential(of: Node) -> Function:
    """Return e to the power of a node."""
    return Function("exp", of, math.exp)


def arc_tangent(of: Node) -> Function:
    """Return the angle in degrees whose tangent is a node."""
    return Function("arctan", of, lambda slope: math.degrees(math.atan(slope)))


def rounded_up(of: Node) -> Function:
    """Return the next whole number not below a node."""
    return Function("", of, lambda number: float(math.ceil(round(number, 9))), "⌈", "⌉")


def rounded_down(of: Node) -> Function:
    """Return the next whole number not above a node."""
    return Function("", of, lambda number: float(math.floor(round(number, 9))), "⌊", "⌋")


@dataclass(frozen=True, eq=False)
class Rule(Node):
    """A step that is no arithmetic (a date, a reading rule), told in words with {0}, {1} for what it works on."""

    words: str
    compute: Callable[..., Value]
    of: tuple[Node, ...] = ()

    def evaluate(self, scope: Scope) -> Value:
        """Return what the rule makes of its nodes."""
        return self.compute(*(scope.value_of(node) for node in self.of))

    def printed(self, look: Look) -> str:
        """Return the words, with symbols or values filled in."""
        plain = replace(look, as_markup=False)
        words = self.words.format(*(node.printed(plain) for node in self.of))
        return f"<mtext>{escape(words)}</mtext>" if look.as_markup else words


@dataclass(frozen=True, eq=False, kw_only=True)
class Fixed(Named):
    """A constant with a symbol, or shown by its figure when the symbol is left empty."""

    value: float

    def evaluate(self, scope: Scope) -> float:
        """Return the constant."""
        return self.value

    def show(self, value: Value) -> str:
        """Return the figure."""
        return written(value)

    def printed(self, look: Look) -> str:
        """Return symbol or figure."""
        return super().printed(look) if self.symbol else _digits(_plain(self.value), look)


@dataclass(frozen=True, eq=False, kw_only=True)
class Line(Named):
    """One step of the working: a symbol, what it equals, the unit, and the place to which it is rounded.

    `says` tells in a few words what the step finds. A whole number, a digit, a date or a choice has no unit.
    """

    body: Node
    says: str
    unit: str = ""
    decimals: int = 0
    round_up: bool = False

    @classmethod
    def of(cls, symbol: str, body: Node, says: str, *, unit: str = "", decimals: int = 0) -> Self:
        """Return a step from its symbol, its formula and what it finds."""
        return cls(symbol=symbol, body=body, says=says, unit=unit, decimals=decimals)

    def evaluate(self, scope: Scope) -> Value:
        """Return the step's value, not rounded."""
        return scope.value_of(self.body)

    def show(self, value: Value) -> str:
        """Return the value rounded to the step's place."""
        return written(value, decimals=self.decimals, round_up=self.round_up)


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
    text = _plain(value) if decimals is None else f"{rounded(value, decimals, round_up=round_up):f}"
    text = text.replace("-", MINUS) if "e" not in text else text
    whole, point, rest = text.partition(".")
    return _grouped(whole) + point + rest


def _grouped(whole: str) -> str:
    sign = MINUS if whole.startswith(MINUS) else ""
    digits = whole.removeprefix(MINUS)
    if not digits.isdigit() or len(digits) < _GROUPED_FROM:
        return whole
    return f"{sign}{int(digits):,}".replace(",", "\u2009")


def equation(line: Line, look: Look) -> str:
    """Return a step as symbol = formula, as text or as the inside of a `math` element."""
    return _row(line.symbol_printed(look) + _operator("=", look) + line.body.printed(look), look)


def math_element(inside: str, *, display: str = "block") -> str:
    """Return presentation MathML ready for a page, on a line of its own or "inline"."""
    return f'<math xmlns="http://www.w3.org/1998/Math/MathML" display="{display}">{inside}</math>'
