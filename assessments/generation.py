"""Problems from a seed: the same on every machine and every Python.

Each draw takes a number from SHA-256 over the seed, the code, the try and the name of the given, so nothing
depends on the random module of a Python version. A draw is thrown away, and the next try made, when the
calculation does not accept it, when a formula refuses it, or when a slip would pass for the right answer.
"""

import hashlib
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from assessments.calculations import calculation
from assessments.calculations.frame import Calculation, Given, Givens, Slip
from assessments.notation import Line, Look, Node, Scope, equation, math_element
from assessments.tolerance import Tolerance, tolerance_of
from assessments.vocabulary import Value

MAX_TRIES = 500
MAX_SEED = 2**63 - 1


class NoProblemError(RuntimeError):
    """No draw passed: the ranges of the calculation are at fault."""


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step ready to be shown: as symbols and as numbers, in MathML and in text, and its result with unit."""

    says: str
    symbols: str
    numbers: str
    symbols_text: str
    numbers_text: str
    result: str
    unit: str


@dataclass(frozen=True, eq=False)
class Problem:
    """One instance of a calculation.

    `seed` is None for a problem made from values that somebody gave. What slips make of it is worked once and kept.
    """

    calculation: Calculation
    givens: Givens
    seed: int | None = None
    _values: dict[tuple[Slip, ...], Value] = field(default_factory=dict, init=False, repr=False)
    _tolerances: dict[tuple[Slip, ...], Tolerance] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def answer(self) -> Value:
        """Return the right answer by the formulas, not rounded."""
        return self.calculation.work(*(self.givens[given.name] for given in self.calculation.givens))

    @cached_property
    def tolerance(self) -> float:
        """Return how far a typed answer may lie from the right one, see `tolerance`; 0 for whole numbers and words."""
        return self.tolerance_with(()).total

    @property
    def answer_shown(self) -> str:
        """Return the answer as the trade rounds it, without its unit."""
        return self.calculation.answer.show(self.answer)

    @property
    def unit(self) -> str:
        """Return the unit of the answer; empty for whole numbers, digits, dates and choices."""
        return self.calculation.answer.unit

    @property
    def stated_answer(self) -> str:
        """Return the right answer with its unit, as it is kept with a typed one."""
        return f"{self.answer_shown} {self.unit}".strip()

    @property
    def stated_givens(self) -> dict[str, str]:
        """Return what is given, in its words and with its unit, as it is kept with a typed answer."""
        stated = {}
        for given in self.calculation.givens:
            stated[given.says] = f"{given.show(self.givens[given.name])} {given.shown_unit}".strip()
        return stated

    def slip_value(self, *slips: Slip) -> Value:
        """Return what the working gives when these slips are made.

        Raises
        ------
        ArithmeticError, ValueError
            When the slip leads to no answer.
        """
        if slips not in self._values:
            self._values[slips] = self.calculation.value(self.givens, slips)
        return self._values[slips]

    def tolerance_with(self, slips: tuple[Slip, ...]) -> Tolerance:
        """Return the tolerance around the answer, or around what the slips make of it.

        Raises
        ------
        ArithmeticError, ValueError
            When the slip leads to no answer.
        """
        if slips not in self._tolerances:
            self._tolerances[slips] = tolerance_of(self.calculation, self.givens, _slipped(slips))
        return self._tolerances[slips]

    def is_told_apart(self, slip: Slip) -> bool:
        """Return whether the slip's value differs from the answer by more than both tolerances together."""
        try:
            value, margin = self.slip_value(slip), self.tolerance + self.tolerance_with((slip,)).total
        except (ArithmeticError, ValueError):
            return False
        if isinstance(value, float | int) and isinstance(self.answer, float | int):
            return math.isfinite(value) and abs(value - self.answer) > margin
        return value != self.answer

    @cached_property
    def slips(self) -> tuple[Slip, ...]:
        """Return the slips that can be told from the right answer here."""
        return tuple(slip for slip in self.calculation.slips if self.is_told_apart(slip))

    def steps(self, slips: tuple[Slip, ...] = ()) -> list[ShownStep]:
        """Return the worked steps, or the working with the slips made."""
        scope = Scope(self.givens, _slipped(slips))
        return [_shown(line, scope) for line in self.calculation.steps]


def _slipped(slips: tuple[Slip, ...]) -> dict[Node, Node]:
    return {old: new for slip in slips for old, new in slip.replaces.items()}


def _shown(line: Line, scope: Scope) -> ShownStep:
    symbols, numbers = Look(), Look(scope)
    symbols_text, numbers_text = Look(as_markup=False), Look(scope, as_markup=False)
    return ShownStep(
        says=line.says,
        symbols=math_element(equation(line, symbols)),
        numbers=math_element(equation(line, numbers)),
        symbols_text=equation(line, symbols_text),
        numbers_text=equation(line, numbers_text),
        result=line.show(scope.value_of(line)),
        unit=line.unit,
    )


def problem(code: str, seed: int) -> Problem:
    """Return the problem that one of the site's own calculations makes of a seed.

    Raises
    ------
    UnknownCalculationError
        When no calculation has that code.
    """
    return problem_of(calculation(code), seed)


def problem_of(kind: Calculation, seed: int) -> Problem:
    """Return the problem that a calculation makes of a seed.

    Raises
    ------
    ValueError
        When the seed is negative or needs more than 63 bits.
    NoProblemError
        When the ranges of the calculation let no problem through.
    """
    if not 0 <= seed <= MAX_SEED:
        raise ValueError("A seed lies between 0 and 2^63 - 1.")
    for attempt in range(MAX_TRIES):
        givens = {given.name: _drawn(given, f"{seed}:{kind.code}:{attempt}") for given in kind.givens}
        candidate = Problem(kind, givens, seed)
        if _is_fit(candidate):
            return candidate
    raise NoProblemError(f"{kind.code} made no problem of seed {seed}.")


def problem_again(
    kind: Calculation, seed: int, *, stated_givens: Mapping[str, str], stated_answer: str
) -> Problem | None:
    """Return the problem that was once made of a seed, or None when the calculation has changed since."""
    try:
        made = problem_of(kind, seed)
    except NoProblemError:
        return None
    is_same = made.stated_givens == stated_givens and made.stated_answer == stated_answer
    return made if is_same else None


def _drawn(given: Given, source: str) -> Value:
    digest = hashlib.sha256(f"{source}:{given.name}".encode()).digest()
    # 128 bits over at most 10^17 values: the bias is far below anything that can be noticed.
    return given.value_at(int.from_bytes(digest[:16], "big") % given.choices)


def _is_fit(candidate: Problem) -> bool:
    try:
        if not candidate.calculation.accepts(candidate.givens):
            return False
        told = candidate.slips
    except (ArithmeticError, ValueError):
        return False
    return all(slip.sometimes or slip in told for slip in candidate.calculation.slips)
