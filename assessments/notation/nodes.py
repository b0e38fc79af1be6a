"""The parts of a formula: scope, look, arithmetic."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from html import escape

from assessments.notation.printing import MINUS, plain
from assessments.vocabulary import Value

#: How tightly a part holds together; a looser one inside a tighter one gets brackets.
SUM, PRODUCT, POWER, ATOM = range(4)
_NO_NUMBERS = (str, date)
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
        replacement = self.slips.get(node) if self.slips else None
        if replacement is None:
            return node.evaluate(self)
        rest = {old: new for old, new in self.slips.items() if old is not node}
        return replacement.evaluate(Scope(self.values, rest))

    def number_of(self, node: "Node") -> float:
        """Return the value of a node that must be a number."""
        value = self.value_of(node)
        if isinstance(value, _NO_NUMBERS):
            raise TypeError(f"{node!r} is no number.")
        return value


@dataclass(frozen=True, eq=False)
class Look:
    """How a tree is printed: with symbols (no scope) or with the numbers of a scope; as MathML or as text."""

    scope: Scope | None = None
    as_markup: bool = True

    def row(self, inside: str) -> str:
        """Return a run of parts that belong together."""
        return f"<mrow>{inside}</mrow>" if self.as_markup else inside

    def operator(self, sign: str) -> str:
        """Return the sign between two parts."""
        return f"<mo>{sign}</mo>" if self.as_markup else f" {sign} "

    def brackets(self, inside: str) -> str:
        """Return a part in round brackets."""
        return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>" if self.as_markup else f"({inside})"

    def digits(self, text: str) -> str:
        """Return a number that is already written out."""
        if not self.as_markup:
            return text
        if text.startswith(MINUS):
            return f"<mrow><mo>{MINUS}</mo><mn>{escape(text[1:])}</mn></mrow>"
        return f"<mn>{escape(text)}</mn>"

    def symbol(self, name: str) -> str:
        """Return a symbol; `T_s` is printed with a subscript."""
        if not self.as_markup:
            return name
        letters, _, below = name.partition("_")
        base = _identifier(letters)
        return f"<msub>{base}<mtext>{escape(below)}</mtext></msub>" if below else base


def _identifier(letters: str) -> str:
    if len(letters) == 1:
        return f"<mi>{escape(letters)}</mi>"
    return f'<mi mathvariant="normal">{escape(letters)}</mi>'


class Node:
    """A part of a formula. Arithmetic on nodes makes larger ones."""

    rank = ATOM

    def evaluate(self, scope: Scope) -> Value:
        """Return the node's value."""
        raise NotImplementedError

    def printed(self, look: Look) -> str:
        """Return the node as MathML or text."""
        raise NotImplementedError

    def bracketed(self, look: Look, rank: int) -> str:
        """Return the node in brackets where its rank is below the one asked for."""
        inside = self.printed(look)
        return inside if self.rank >= rank else look.brackets(inside)

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

    def __neg__(self) -> "Node":
        return Negative(self)

    def __pow__(self, other: "Node | float") -> "Node":
        return Power(self, _node(other))

    def __rpow__(self, other: float) -> "Node":
        return Power(_node(other), self)


def _node(value: Node | float) -> Node:
    return value if isinstance(value, Node) else Number(value)


@dataclass(frozen=True, eq=False)
class Number(Node):
    """A figure that stands in the formula itself."""

    value: float

    def evaluate(self, scope: Scope) -> float:
        """Return the figure."""
        return self.value

    def printed(self, look: Look) -> str:
        """Return the figure."""
        return look.digits(plain(self.value))


@dataclass(frozen=True, eq=False)
class Sum(Node):
    """Two nodes added or, with a minus sign, subtracted."""

    left: Node
    right: Node
    sign: str
    rank = SUM

    def evaluate(self, scope: Scope) -> float:
        """Return the sum or difference."""
        left, right = scope.number_of(self.left), scope.number_of(self.right)
        return left + right if self.sign == "+" else left - right

    def printed(self, look: Look) -> str:
        """Return left, sign and right."""
        right_rank = SUM if self.sign == "+" else PRODUCT
        right = self.right.bracketed(look, right_rank)
        return look.row(self.left.bracketed(look, SUM) + look.operator(self.sign) + right)


@dataclass(frozen=True, eq=False)
class Negative(Node):
    """A node with the other sign."""

    of: Node
    rank = SUM

    def evaluate(self, scope: Scope) -> float:
        """Return the value with the other sign."""
        return -scope.number_of(self.of)

    def printed(self, look: Look) -> str:
        """Return a minus sign and the node."""
        inside = self.of.bracketed(look, PRODUCT)
        return f"<mrow><mo>{MINUS}</mo>{inside}</mrow>" if look.as_markup else f"{MINUS}{inside}"


@dataclass(frozen=True, eq=False)
class Product(Node):
    """Two nodes multiplied."""

    left: Node
    right: Node
    rank = PRODUCT

    def evaluate(self, scope: Scope) -> float:
        """Return the product."""
        return scope.number_of(self.left) * scope.number_of(self.right)

    def printed(self, look: Look) -> str:
        """Return both factors with a cross between."""
        factors = (self.left.bracketed(look, PRODUCT), self.right.bracketed(look, PRODUCT))
        return look.row(look.operator("×").join(factors))


@dataclass(frozen=True, eq=False)
class Quotient(Node):
    """One node over another."""

    top: Node
    bottom: Node
    rank = PRODUCT

    def evaluate(self, scope: Scope) -> float:
        """Return the quotient."""
        return scope.number_of(self.top) / scope.number_of(self.bottom)

    def printed(self, look: Look) -> str:
        """Return a fraction."""
        if look.as_markup:
            return f"<mfrac>{self.top.printed(look)}{self.bottom.printed(look)}</mfrac>"
        return f"{self.top.bracketed(look, PRODUCT)} / {self.bottom.bracketed(look, POWER)}"


@dataclass(frozen=True, eq=False)
class Power(Node):
    """One node raised to another."""

    base: Node
    exponent: Node
    rank = POWER

    def evaluate(self, scope: Scope) -> float:
        """Return the power."""
        # A slip may ask for a root of a number below 0: `**` would go on with a complex number, this is refused.
        return math.pow(scope.number_of(self.base), scope.number_of(self.exponent))

    def printed(self, look: Look) -> str:
        """Return base and exponent."""
        if look.as_markup:
            return f"<msup>{self.base.bracketed(look, ATOM)}{self.exponent.printed(look)}</msup>"
        return f"{self.base.bracketed(look, ATOM)}^{self.exponent.bracketed(look, ATOM)}"
