"""A formula as it was typed: figures, symbols, signs and functions, as a tree."""

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A number; `unit` is the one that stands in square brackets behind it, "" for a plain number."""

    value: float
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Symbol:
    """What is given, or what an earlier step found."""

    name: str


@dataclass(frozen=True, slots=True)
class Operation:
    """Two parts joined by one of the signs + - * / ^."""

    sign: str
    left: "Part"
    right: "Part"


@dataclass(frozen=True, slots=True)
class Call:
    """A function of one part; "-" turns the sign around."""

    function: str
    of: "Part"


Part = Figure | Symbol | Operation | Call


def parts_of(part: Part) -> Iterator[tuple[Part, int]]:
    """Yield every part with how deep it lies, without recursion, so that any depth can be measured."""
    waiting = [(part, 1)]
    while waiting:
        current, depth = waiting.pop()
        yield current, depth
        if isinstance(current, Operation):
            waiting += [(current.left, depth + 1), (current.right, depth + 1)]
        elif isinstance(current, Call):
            waiting.append((current.of, depth + 1))


def symbols_in(part: Part) -> set[str]:
    """Return the symbols that a formula uses, the constants among them."""
    return {each.name for each, _ in parts_of(part) if isinstance(each, Symbol)}
