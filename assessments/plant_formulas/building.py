"""The nodes of a formula, from its tree: with them steps, slips, print and marking work as for any calculation."""

from collections.abc import Callable, Mapping
from operator import neg

from assessments.notation import (
    Fixed,
    Node,
    Number,
    SquareRoot,
    decimal_log,
    exponential,
    natural_log,
    rounded_down,
    rounded_up,
)
from assessments.plant_formulas.reading import CONSTANTS
from assessments.plant_formulas.syntax import Call, Figure, Operation, Part, Symbol

PI = Fixed(symbol="π", value=CONSTANTS["π"])
#: Whoever works with 3.14 works rightly too.
SHORT_PI: Mapping[Node, Node] = {PI: Number(3.14)}


def node_of(part: Part, named: Mapping[str, Node]) -> Node:
    """Return the node of a formula whose symbols are all among `named` (see `balance`, which refuses others)."""
    if isinstance(part, Figure):
        return Number(part.value)
    if isinstance(part, Symbol):
        return PI if part.name in CONSTANTS else named[part.name]
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
    "-": neg,
    "sqrt": SquareRoot,
    "exp": exponential,
    "ln": natural_log,
    "log10": decimal_log,
    "ceil": rounded_up,
    "floor": rounded_down,
}
