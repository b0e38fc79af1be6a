"""Mark a typed answer against a problem.

The tolerance
-------------
An answer with a unit is right when it lies within the tolerance of the true one:

    half a unit of the last place to which the trade rounds the answer
    + the standard uncertainty that the givens' resolution brings to it
    + the share of it by which published constants differ, where the calculation names one.

A reading of resolution r that may lie anywhere in its step has the standard uncertainty r / sqrt(12) (the GUM,
JCGM 100:2008, F.2.2.1); those of several givens, each times the slope of the formula, add as a root of squares
(5.1.2). Counts and set points are exact. Whole numbers, digits, dates and choices must match exactly.

The order of judgement
----------------------
Unreadable and unclear answers are handed back with a question and never marked. Then: right (with its unit,
without, or with a wrong one), right but rounded too coarsely, one slip, a power of ten away, two slips at once,
none of these. An answer without a unit is taken in the unit that was asked for, and the missing unit is told.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Context, Decimal
from itertools import combinations

from assessments.calculations.frame import Slip
from assessments.formulas.constants import STANDARD_ATMOSPHERE
from assessments.generation import Problem
from assessments.notation import rounded
from assessments.quantities import Basis, Unit, UnknownUnitError, can_convert, convert, unit
from assessments.reader import (
    TypedNumber,
    TypedQuantity,
    UnreadableError,
    read_choice,
    read_date,
    read_digit,
    read_quantity,
    read_whole,
)
from assessments.vocabulary import AnswerKind, Value, Verdict, gettext_noop

MAX_POWER_OF_TEN = 6
#: From so many decimals on, three digits after a mark are what is asked for.
_THOUSANDTHS = 3
#: So many figures that agree are no chance.
_TELLING_FIGURES = 3
_TIGHT = 1e-9
#: Wide enough for a fraction typed beside a slip's large number.
_WIDE = Context(prec=90)
_TWO_MEANINGS = gettext_noop("“%(typed)s” can mean %(decimal)s or %(whole)s. Write it as one of these.")
_SHOULD_BE_RIGHT = (Verdict.RIGHT, Verdict.UNIT_MISSING, Verdict.TOO_COARSE, Verdict.SLIP)


@dataclass(frozen=True, slots=True)
class Mark:
    """What became of a typed answer.

    `slips` names the slips behind it, one or two; `power` the power of ten by which it is off; `message` and its
    `params` ask for what could not be read. `unit_missing` and `unit_wrong` are told beside any verdict.
    """

    verdict: Verdict
    slips: tuple[Slip, ...] = ()
    power: int = 0
    message: str = ""
    params: tuple[tuple[str, str], ...] = ()
    unit_missing: bool = False
    unit_wrong: bool = False

    @property
    def is_right(self) -> bool:
        """Return whether the answer is right in value and unit."""
        return self.verdict is Verdict.RIGHT


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A number in the answer's unit, with the size of its last typed digit in that unit."""

    value: float
    last_digit: float
    typed: TypedNumber
    scale_is_own: bool


def mark(problem: Problem, typed: str) -> Mark:
    """Return the mark of a typed answer. Never raises for what a person can type."""
    kind = problem.calculation.kind
    try:
        if kind is AnswerKind.QUANTITY:
            return _mark_quantity(problem, read_quantity(typed))
        return _mark_exact(problem, _read_exact(problem, typed))
    except _UnclearError as unclear:
        params = {"typed": typed.strip(), **unclear.readings}
        return Mark(Verdict.UNCLEAR, message=_TWO_MEANINGS, params=tuple(params.items()))
    except UnreadableError as unreadable:
        return Mark(Verdict.UNREADABLE, message=unreadable.message, params=tuple(unreadable.params.items()))


class _UnclearError(ValueError):
    """The figures can mean two numbers, and it matters which."""

    def __init__(self, one: TypedNumber, other: TypedNumber) -> None:
        super().__init__()
        decimal, whole = sorted((one.value, other.value), key=abs)
        self.readings = {"decimal": f"{decimal}0", "whole": f"{whole}"}


def _read_exact(problem: Problem, typed: str) -> Value:
    kind = problem.calculation.kind
    if kind is AnswerKind.CHOICE:
        return read_choice(typed, problem.calculation.options)
    if kind is AnswerKind.DATE:
        return read_date(typed)
    if kind is AnswerKind.DIGIT:
        return int(read_digit(typed))
    whole = read_whole(typed)
    if whole.unit is not None and whole.unit.expression != "item":
        raise UnreadableError(gettext_noop("This is a plain count: leave the unit out."))
    if whole.other is not None:
        raise _UnclearError(whole.number, whole.other)
    return int(whole.number.value)


def _mark_exact(problem: Problem, typed: Value) -> Mark:
    if typed == problem.answer:
        return Mark(Verdict.RIGHT)
    for slips in _slip_sets(problem):
        if _exact_slip_value(problem, slips) == typed:
            return Mark(Verdict.SLIP if len(slips) == 1 else Verdict.TWO_SLIPS, slips)
    if isinstance(typed, date | str) or isinstance(problem.answer, date | str):
        return Mark(Verdict.OTHER)
    power = _power_between(typed, problem.answer, 0.0)
    return Mark(Verdict.POWER_OF_TEN, power=power) if power else Mark(Verdict.OTHER)


def _exact_slip_value(problem: Problem, slips: tuple[Slip, ...]) -> Value | None:
    try:
        return problem.slip_value(*slips)
    except (ArithmeticError, ValueError):
        return None


def _slip_sets(problem: Problem) -> Iterator[tuple[Slip, ...]]:
    """Yield each slip alone, then every two that touch different parts of the working."""
    for slip in problem.slips:
        yield (slip,)
    for one, other in combinations(problem.slips, 2):
        if not set(one.replaces) & set(other.replaces):
            yield (one, other)


def _mark_quantity(problem: Problem, typed: TypedQuantity) -> Mark:
    if typed.other is None:
        return _mark_number(problem, typed.number, typed.unit)
    if problem.calculation.answer.decimals >= _THOUSANDTHS:
        return _mark_number(problem, typed.number, typed.unit)
    as_decimal = _mark_number(problem, typed.number, typed.unit)
    as_whole = _mark_number(problem, typed.other, typed.unit)
    # A point is the decimal mark here, unless only thousands would make sense. A comma is always asked about.
    if typed.is_comma or (as_whole.verdict in _SHOULD_BE_RIGHT and as_decimal.verdict not in _SHOULD_BE_RIGHT):
        raise _UnclearError(typed.number, typed.other)
    return as_decimal


def _mark_number(problem: Problem, number: TypedNumber, typed_unit: Unit | None) -> Mark:
    expected = unit(problem.unit)
    if typed_unit is None:
        judged = _judge(problem, _as_typed(number))
        verdict = Verdict.UNIT_MISSING if judged.verdict is Verdict.RIGHT else judged.verdict
        return replace(judged, verdict=verdict, unit_missing=True)
    if _is_other_unit(problem, typed_unit, expected):
        candidates = [_as_typed(number)]
        if can_convert(typed_unit, expected):
            candidates.append(_converted(problem, number, typed_unit, expected))
        is_right = any(_judge(problem, each).verdict is Verdict.RIGHT for each in candidates)
        return Mark(Verdict.UNIT_WRONG if is_right else Verdict.OTHER, unit_wrong=True)
    judged = _judge(problem, _converted(problem, number, typed_unit, expected))
    if judged.verdict in {Verdict.OTHER, Verdict.POWER_OF_TEN} and typed_unit != expected:
        bare = _judge(problem, _as_typed(number))
        if bare.verdict is Verdict.RIGHT:
            return Mark(Verdict.UNIT_WRONG, unit_wrong=True)
    return judged


def _is_other_unit(problem: Problem, typed: Unit, expected: Unit) -> bool:
    if not can_convert(typed, expected):
        return True
    if not problem.calculation.must_use_unit:
        return False
    return typed.expression != expected.expression or typed.basis not in {None, expected.basis}


def _as_typed(number: TypedNumber) -> _Candidate:
    return _Candidate(float(number.value), 10.0**number.exponent, number, scale_is_own=True)


def _converted(problem: Problem, number: TypedNumber, typed: Unit, expected: Unit) -> _Candidate:
    atmosphere = problem.givens.get("atmosphere", STANDARD_ATMOSPHERE.value)
    if isinstance(atmosphere, str | date):
        raise UnknownUnitError("The atmosphere must be a number.")
    value = convert(float(number.value), typed, expected, atmosphere_bar=atmosphere)
    step = convert(float(number.value) + 10.0**number.exponent, typed, expected, atmosphere_bar=atmosphere) - value
    same = typed.expression == expected.expression and {typed.basis, expected.basis} != {Basis.GAUGE, Basis.ABSOLUTE}
    return _Candidate(float(number.value) if same else value, abs(step), number, scale_is_own=same)


def _judge(problem: Problem, candidate: _Candidate) -> Mark:
    answer = _number(problem.answer)
    if _is_close(candidate.value, answer, problem.tolerance):
        return Mark(Verdict.RIGHT)
    if _is_too_coarse(problem, candidate, answer):
        return Mark(Verdict.TOO_COARSE)
    pairs = []
    for slips in _slip_sets(problem):
        if not _is_slip(problem, candidate, slips):
            continue
        if len(slips) == 1:
            return Mark(Verdict.SLIP, slips)
        pairs.append(slips)
    power = _power_between(candidate.value, answer, problem.tolerance)
    if power:
        return Mark(Verdict.POWER_OF_TEN, power=power)
    return Mark(Verdict.TWO_SLIPS, pairs[0]) if pairs else Mark(Verdict.OTHER)


def _is_close(value: float, target: float, tolerance: float) -> bool:
    return abs(value - target) <= tolerance * (1 + _TIGHT) + _TIGHT * abs(target)


def _is_too_coarse(problem: Problem, candidate: _Candidate, answer: float) -> bool:
    """Return whether the answer is the right one, rounded (or cut) to fewer places than the trade uses."""
    place = 10.0**-problem.calculation.answer.decimals
    if candidate.last_digit <= place * (1 + _TIGHT) or candidate.value == 0:
        return False
    if not candidate.scale_is_own:
        return abs(candidate.value - answer) <= candidate.last_digit / 2
    return candidate.typed.value == _rounded_to(answer, candidate.typed.exponent)


def _rounded_to(value: float, exponent: int) -> Decimal:
    scaled = Decimal(f"{value:.12g}").scaleb(-exponent)
    return scaled.quantize(Decimal(1), rounding=ROUND_HALF_UP, context=_WIDE).scaleb(exponent)


def _is_slip(problem: Problem, candidate: _Candidate, slips: tuple[Slip, ...]) -> bool:
    """Return whether the answer is what these slips give, to its tolerance or to three typed figures."""
    try:
        value = _number(problem.slip_value(*slips))
        tolerance = problem.tolerance_with(slips)
    except (ArithmeticError, ValueError, TypeError):
        return False
    # A slip may make the number small: then half a place of the right answer would let anything through.
    margin = min(tolerance, abs(value) * 0.02)
    if not math.isfinite(value):
        return False
    if _is_close(candidate.value, value, margin):
        return True
    decimals = problem.calculation.answer.decimals
    as_shown = candidate.scale_is_own and candidate.typed.value == rounded(value, decimals) != 0
    figures = len(candidate.typed.value.as_tuple().digits)
    return as_shown or (
        candidate.scale_is_own
        and figures >= _TELLING_FIGURES
        and candidate.typed.value == _rounded_to(value, candidate.typed.exponent)
    )


def _number(value: Value) -> float:
    if isinstance(value, str | date):
        raise TypeError(f"{value!r} is no number.")
    return float(value)


def _power_between(value: float, answer: float, tolerance: float) -> int:
    """Return n when the value is the answer times ten to the n, else 0."""
    if value == 0 or answer == 0 or (value < 0) != (answer < 0):
        return 0
    power = round(math.log10(value / answer))
    if power == 0 or abs(power) > MAX_POWER_OF_TEN:
        return 0
    return power if _is_close(value / 10.0**power, answer, tolerance) else 0
