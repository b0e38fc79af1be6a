"""Functions of one number, roots, and sums of powers."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from assessments.notation.nodes import ATOM, POWER, Look, Node, Number, Scope


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
        name = look.symbol(self.name) if self.name else ""
        inside = self.of.printed(look)
        if not look.as_markup:
            return f"{name}{self.opening}{inside}{self.closing}"
        return f"<mrow>{name}<mo>{self.opening}</mo>{inside}<mo>{self.closing}</mo></mrow>"


@dataclass(frozen=True, eq=False)
class SquareRoot(Node):
    """The square root of a node."""

    of: Node
    rank = POWER

    def evaluate(self, scope: Scope) -> float:
        """Return the root."""
        return math.sqrt(scope.number_of(self.of))

    def printed(self, look: Look) -> str:
        """Return the root sign, over its node or before it."""
        if look.as_markup:
            return f"<msqrt>{self.of.printed(look)}</msqrt>"
        return f"√{self.of.bracketed(look, ATOM)}"


def exponential(of: Node) -> Function:
    """Return e to the power of a node."""
    return Function("exp", of, math.exp)


def natural_log(of: Node) -> Function:
    """Return the logarithm of a node to the base e."""
    return Function("ln", of, math.log)


def decimal_log(of: Node) -> Function:
    """Return the logarithm of a node to the base 10."""
    return Function("log_10", of, math.log10)


def magnitude(of: Node) -> Function:
    """Return a node without its sign."""
    return Function("", of, abs, "|", "|")


def cosine(of: Node) -> Function:
    """Return the cosine of a node in degrees."""
    return Function("cos", of, lambda angle: math.cos(math.radians(angle)))


def tangent(of: Node) -> Function:
    """Return the tangent of a node in degrees."""
    return Function("tan", of, lambda angle: math.tan(math.radians(angle)))


def arc_tangent(of: Node) -> Function:
    """Return the angle in degrees whose tangent is a node."""
    return Function("arctan", of, lambda slope: math.degrees(math.atan(slope)))


def rounded_up(of: Node) -> Function:
    """Return the next whole number not below a node."""
    return Function("", of, lambda number: float(math.ceil(round(number, 9))), "⌈", "⌉")


def rounded_down(of: Node) -> Function:
    """Return the next whole number not above a node."""
    return Function("", of, lambda number: float(math.floor(round(number, 9))), "⌊", "⌋")


def polynomial(of: Node, factors: Sequence[float]) -> Node:
    """Return the sum of rising powers of a node, each with its factor; the first factor stands alone.

    A factor of 0 leaves its power out, and one below 0 is subtracted.
    """
    total: Node = Number(factors[0])
    for power, factor in enumerate(factors[1:], start=1):
        if factor == 0:
            continue
        term = abs(factor) * (of if power == 1 else of**power)
        total = total + term if factor > 0 else total - term
    return total
