"""The nodes of a formula, from its tree: with them steps, slips, print and marking work as for any calculation."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assessments.notation import (
    Fixed,
    Look,
    Node,
    Number,
    Scope,
    SquareRoot,
    decimal_log,
    exponential,
    natural_log,
    rounded_down,
    rounded_up,
)
from assessments.notation.nodes import PRODUCT, SUM
from assessments.notation.printing import MINUS
from assessments.plant_formulas.reading import CONSTANTS
from assessments.plant_formulas.syntax import Call, Figure, Operation, Part, Symbol


@dataclass(frozen=True, eq=False)
class Negative(Node):
    """A node with its sign turned around."""

    of: Node
    rank = SUM

    def evaluate(self, scope: Scope) -> float:
        """Return the value below 0 for one above it, and the other way round."""
        return -scope.number_of(self.of)

    def printed(self, look: Look) -> str:
        """Return a minus sign and the node."""
        sign = f"<mo>{MINUS}</mo>" if look.as_markup else MINUS
        return look.row(sign + self.of.bracketed(look, PRODUCT))


def node_of(part: Part, named: Mapping[str, Node]) -> Node:
    """Return the node of a formula whose symbols are all among `named` (see `balance`, which refuses others)."""
    if isinstance(part, Figure):
        return Number(part.value)
    if isinstance(part, Symbol):
        return Fixed(symbol=part.name, value=CONSTANTS[part.name]) if part.name in CONSTANTS else named[part.name]
    if isinstance(part, Call):
        return _CALLS[part.function](node_of(part.of, named))
    return _operation(part, node_of(part.left, named), node_of(part.right, named))


def _operation(part: Operation, left: Node, right: Node) -> Node:
    made: Mapping[str, Callable[[], Node]] = {
        "+": lambda: left + right,
        "-": lambda: left - right,
        "*": lambda: left * right,
        "/": lambda: left / right,
        "^": lambda: left**right,
    }
    return made[part.sign]()


_CALLS: Mapping[str, Callable[[Node], Node]] = {
    "-": Negative,
    "sqrt": SquareRoot,
    "exp": exponential,
    "ln": natural_log,
    "log10": decimal_log,
    "roundup": rounded_up,
    "rounddown": rounded_down,
}
