"""The parts of a formula that have a symbol, or are told in words."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from html import escape
from typing import Self

from assessments.notation.nodes import Look, Node, Scope
from assessments.notation.printing import MINUS, plain, written
from assessments.vocabulary import Value


@dataclass(frozen=True, eq=False)
class Named(Node):
    """A node with a symbol. `T_s` is printed with a subscript."""

    symbol: str

    def show(self, value: Value) -> str:
        """Return the value as it is written in a calculation, without its unit."""
        raise NotImplementedError

    def printed(self, look: Look) -> str:
        """Return the symbol, or the value in a scope."""
        if look.scope is None:
            return look.symbol(self.symbol)
        text = self.show(look.scope.value_of(self))
        shown = look.digits(text)
        return look.brackets(shown) if text.startswith(MINUS) else shown


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
        in_words = replace(look, as_markup=False)
        words = self.words.format(*(node.printed(in_words) for node in self.of))
        return f"<mtext>{escape(words)}</mtext>" if look.as_markup else words


@dataclass(frozen=True, eq=False, kw_only=True)
class Fixed(Named):
    """A constant with a symbol, or shown by its figure when the symbol is left empty.

    `decimals` cuts short what is shown, where the figure has no end.
    """

    value: float
    decimals: int | None = None

    def evaluate(self, scope: Scope) -> float:
        """Return the constant."""
        return self.value

    def show(self, value: Value) -> str:
        """Return the figure."""
        return written(value, decimals=self.decimals)

    def printed(self, look: Look) -> str:
        """Return symbol or figure."""
        return super().printed(look) if self.symbol else look.digits(plain(self.value))


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


def equation(line: Line, look: Look) -> str:
    """Return a step as symbol = formula, as text or as the inside of a `math` element."""
    return look.row(look.symbol(line.symbol) + look.operator("=") + line.body.printed(look))
