"""Formulas that can be evaluated, shown with symbols, shown with numbers, and got wrong on purpose.

A formula is a small tree. Its named nodes (what is given, what a step finds, a constant) carry a symbol and are
shown by it or by their value. A slip replaces some nodes by others, so one tree yields the right answer, every
wrong one, and any two slips at once. The tree prints as presentation MathML and as one line of plain text.
"""

from assessments.notation.functions import (
    SquareRoot,
    arc_tangent,
    cosine,
    decimal_log,
    exponential,
    magnitude,
    natural_log,
    polynomial,
    rounded_down,
    rounded_up,
    tangent,
)
from assessments.notation.named import Fixed, Line, Named, Rule, equation
from assessments.notation.nodes import Look, Node, Number, Scope
from assessments.notation.printing import math_element, rounded, written

__all__ = [
    "Fixed",
    "Line",
    "Look",
    "Named",
    "Node",
    "Number",
    "Rule",
    "Scope",
    "SquareRoot",
    "arc_tangent",
    "cosine",
    "decimal_log",
    "equation",
    "exponential",
    "magnitude",
    "math_element",
    "natural_log",
    "polynomial",
    "rounded",
    "rounded_down",
    "rounded_up",
    "tangent",
    "written",
]
