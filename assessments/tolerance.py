"""How far a typed answer may lie from the worked one.

    half a unit of the last place to which the trade rounds the answer
    + the standard uncertainty that the resolution of the readings brings to it
    + what the rounding of the steps, as the page shows them, can bring to it
    + what the other figures in use for its constants change in it.

Readings: one of resolution r may lie anywhere in its step and has the standard uncertainty u = r / sqrt(12) (the
GUM, JCGM 100:2008, F.2.2.1). Each u is carried through the working by half the change between the answers at x + u
and x - u (5.1.3, note 2); for several they add as a root of squares (5.1.2). Counts and set points are exact.

Steps: whoever writes each step down to its place, half up or half to even, is off by half a unit of that place at
most. That is a bound and no chance, so these add as they are. A step that comes out even on its place adds nothing.

Figures: where published constants differ by a share of the answer, that share is added; where another figure or
another working is right as well (3.14 for pi), the largest change that any of them makes.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from assessments.calculations.frame import Calculation, Givens, Measured
from assessments.notation import Line, Node, Scope
from assessments.vocabulary import AnswerKind

#: Standard uncertainty of a reading as a share of its resolution, for a value anywhere in one step.
RESOLUTION_SHARE = 1 / math.sqrt(12)
#: A step is even on its place when no more of a unit of it is left over.
_CRUMB = 1e-6


@dataclass(frozen=True, slots=True)
class Tolerance:
    """The parts of a tolerance, each in the unit of the answer."""

    rounding: float = 0.0
    readings: float = 0.0
    steps: float = 0.0
    figures: float = 0.0

    @property
    def total(self) -> float:
        """Return the whole tolerance."""
        return self.rounding + self.readings + self.steps + self.figures


def tolerance_of(kind: Calculation, givens: Givens, slipped: Mapping[Node, Node]) -> Tolerance:
    """Return the tolerance around the answer, or around what some slips make of it; none for words and counts.

    Raises
    ------
    ArithmeticError, ValueError
        When the slips lead to no answer.
    """
    if kind.kind is not AnswerKind.QUANTITY:
        return Tolerance()
    answer = Scope(givens, slipped).number_of(kind.answer)
    # Where a slip touches the same part, that is what was done.
    others = (_answer(kind, givens, {**other, **slipped}) - answer for other in kind.also_right)
    return Tolerance(
        rounding=_lost(kind.answer),
        readings=math.hypot(*_changes_by_readings(kind, givens, slipped)),
        steps=sum(abs(change) for change in _changes_by_steps(kind, givens, slipped, answer)),
        figures=abs(answer) * kind.relative_spread + max((abs(other) for other in others), default=0.0),
    )


def _answer(kind: Calculation, givens: Givens, replaced: Mapping[Node, Node]) -> float:
    return Scope(givens, replaced).number_of(kind.answer)


def _lost(line: Line) -> float:
    """Return the most by which rounding a step to its place can move it."""
    return (1.0 if line.round_up else 0.5) * 10.0**-line.decimals


def _changes_by_readings(kind: Calculation, givens: Givens, slipped: Mapping[Node, Node]) -> Iterator[float]:
    for given in kind.givens:
        if not isinstance(given, Measured) or given.is_exact:
            continue
        read, unsure = Scope(givens).number_of(given), RESOLUTION_SHARE * given.resolution
        above, below = (_answer(kind, {**givens, given.name: read + each}, slipped) for each in (unsure, -unsure))
        yield (above - below) / 2


def _changes_by_steps(
    kind: Calculation, givens: Givens, slipped: Mapping[Node, Node], answer: float
) -> Iterator[float]:
    scope = Scope(givens, slipped)
    for line in kind.steps[:-1]:
        value = scope.value_of(line)
        if not isinstance(value, float | int) or _is_even(value * 10.0**line.decimals):
            continue
        yield _answer(kind, givens, {**slipped, line: slipped.get(line, line) + _lost(line)}) - answer


def _is_even(places: float) -> bool:
    return not math.isfinite(places) or abs(places - round(places)) <= _CRUMB
