"""Functions of one number, and sums of powers."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from assessments.notation.nodes import Look, Node, Scope


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
