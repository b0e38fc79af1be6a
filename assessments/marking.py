"""Mark a typed answer against a problem.

An answer with a unit is right when it lies within the tolerance of the worked one, by the rule in `tolerance`: half
a place of the trade's rounding, the uncertainty of the readings, the rounding of the steps, the figures in use for
constants. Whole numbers, digits, dates and choices must match exactly.

The order of judgement
----------------------
Unreadable and unclear answers are handed back with a question and never marked. Then: right (with its unit,
without, or with a wrong one), right but rounded too coarsely, one slip, a power of ten away, two slips at once,
none of these. An answer without a unit is taken in the unit that was asked for, and the missing unit is told.

Which slip
----------
A slip is behind an answer that lies within the tolerance around what the slip gives, though never further off than
a fiftieth of that; or that gives it to the trade's place, or to three figures or more. Where several slips could be
behind it, all are named: first those that give what was typed to its last digit, and of these the nearest.
"""

import math
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
    read_week_date,
    read_whole,
)
from assessments.vocabulary import AnswerKind, Value, Verdict, gettext_noop

MAX_POWER_OF_TEN = 6
#: From so many decimals on, three digits after a mark are what is asked for.
_THOUSANDTHS = 3
#: So many figures that agree are no chance.
_TELLING_FIGURES = 3
#: A slip may make the number small: then the tolerance would let anything through, and this share of it must do.
_NEAR_A_SLIP = 0.02
_TIGHT = 1e-9
#: Wide enough for a fraction typed beside a slip's large number.
_WIDE = Context(prec=90)
_TWO_MEANINGS = gettext_noop("“%(typed)s” can mean %(decimal)s or %(whole)s. Write it as one of these.")
_SHOULD_BE_RIGHT = (Verdict.RIGHT, Verdict.UNIT_MISSING, Verdict.TOO_COARSE, Verdict.SLIP)


@dataclass(frozen=True, slots=True)
class Mark:
    """What became of a typed answer.

    `slips` names the slips behind it, one or two, and `others` what else may be behind it; `power` is the power of
    ten by which it is off; `message` and its `params` ask for what could not be read. `unit_missing` and
    `unit_wrong` are told beside any verdict.
    """

    verdict: Verdict
    slips: tuple[Slip, ...] = ()
    others: tuple[tuple[Slip, ...], ...] = ()
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
    if kind is AnswerKind.WEEK_DATE:
        return read_week_date(typed)
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
    if singles := [slips for slips in _singles(problem) if _value_with(problem, slips) == typed]:
        return _slipped(singles)
    pairs = [slips for slips in _pairs(problem) if _value_with(problem, slips) == typed]
    if isinstance(typed, float | int) and (power := _power_between(typed, _number(problem.answer), 0.0)):
        return Mark(Verdict.POWER_OF_TEN, others=tuple(pairs), power=power)
    return _slipped(pairs) if pairs else Mark(Verdict.OTHER)


def _slipped(found: list[tuple[Slip, ...]]) -> Mark:
    first, *others = found
    return Mark(Verdict.SLIP if len(first) == 1 else Verdict.TWO_SLIPS, first, tuple(others))


def _value_with(problem: Problem, slips: tuple[Slip, ...]) -> Value | None:
    try:
        return problem.slip_value(*slips)
    except (ArithmeticError, ValueError):
        return None


def _singles(problem: Problem) -> list[tuple[Slip, ...]]:
    return [(slip,) for slip in problem.slips]


def _pairs(problem: Problem) -> list[tuple[Slip, ...]]:
    """Return every two slips that touch different parts of the working."""
    return [
        (one, other)
        for one, other in combinations(problem.slips, 2)
        if one.replaces.keys().isdisjoint(other.replaces.keys())
    ]


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
    if typed_unit is None and not expected.is_unsaid:
        judged = _judge(problem, _as_typed(number))
        verdict = Verdict.UNIT_MISSING if judged.verdict is Verdict.RIGHT else judged.verdict
        return replace(judged, verdict=verdict, unit_missing=True)
    told_unit = typed_unit or expected
    if _is_other_unit(problem, told_unit, expected):
        return _in_other_unit(problem, number, told_unit, expected)
    judged = _judge(problem, _converted(problem, number, told_unit, expected))
    if judged.verdict in {Verdict.OTHER, Verdict.POWER_OF_TEN} and told_unit != expected:
        bare = _judge(problem, _as_typed(number))
        if bare.verdict is Verdict.RIGHT:
            return Mark(Verdict.UNIT_WRONG, unit_wrong=True)
    return judged


def _in_other_unit(problem: Problem, number: TypedNumber, typed: Unit, expected: Unit) -> Mark:
    """Return the mark of a number in a unit that is not the one asked for: what its value says, and the unit."""
    candidates = [_as_typed(number)]
    if can_convert(typed, expected):
        candidates.append(_converted(problem, number, typed, expected))
    marks = [_judge(problem, each) for each in candidates]
    if any(each.verdict is Verdict.RIGHT for each in marks):
        return Mark(Verdict.UNIT_WRONG, unit_wrong=True)
    slipped = (each for each in marks if each.verdict is Verdict.SLIP)
    return replace(next(slipped, Mark(Verdict.OTHER)), unit_wrong=True)


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
    singles = _behind(problem, candidate, _singles(problem))
    if _is_too_coarse(problem, candidate, answer):
        return Mark(Verdict.TOO_COARSE, others=tuple(singles))
    if singles:
        return _slipped(singles)
    pairs = _behind(problem, candidate, _pairs(problem))
    if power := _power_between(candidate.value, answer, problem.tolerance):
        return Mark(Verdict.POWER_OF_TEN, others=tuple(pairs), power=power)
    return _slipped(pairs) if pairs else Mark(Verdict.OTHER)


def _is_close(value: float, target: float, tolerance: float) -> bool:
    return abs(value - target) <= tolerance * (1 + _TIGHT) + _TIGHT * abs(target)


def _is_too_coarse(problem: Problem, candidate: _Candidate, answer: float) -> bool:
    """Return whether the answer is the right one, rounded to fewer places than the trade uses."""
    place = 10.0**-problem.calculation.answer.decimals
    if not place * (1 + _TIGHT) < candidate.last_digit <= abs(answer) or candidate.value == 0:
        return False
    if not candidate.scale_is_own:
        return abs(candidate.value - answer) <= candidate.last_digit / 2
    return candidate.typed.value == _rounded_to(answer, candidate.typed.exponent)


def _rounded_to(value: float, exponent: int) -> Decimal:
    scaled = Decimal(f"{value:.12g}").scaleb(-exponent)
    return scaled.quantize(Decimal(1), rounding=ROUND_HALF_UP, context=_WIDE).scaleb(exponent)


def _behind(problem: Problem, candidate: _Candidate, sets: list[tuple[Slip, ...]]) -> list[tuple[Slip, ...]]:
    """Return the sets of slips that can be behind an answer, the likeliest first."""
    found = []
    for slips in sets:
        value = _value_with(problem, slips)
        if not isinstance(value, float | int) or not math.isfinite(value):
            continue
        is_telling = _is_to_the_digit(problem, candidate, value)
        if is_telling or _is_near_slip(problem, candidate, slips, value):
            found.append((not is_telling, abs(candidate.value - value), slips))
    return [slips for _, _, slips in sorted(found, key=lambda each: each[:2])]


def _is_to_the_digit(problem: Problem, candidate: _Candidate, value: float) -> bool:
    """Return whether a value rounds to what was typed, at the trade's place or with three figures or more."""
    if not candidate.scale_is_own:
        return False
    typed = candidate.typed
    if typed.value == rounded(value, problem.calculation.answer.decimals) != 0:
        return True
    return len(typed.value.as_tuple().digits) >= _TELLING_FIGURES and typed.value == _rounded_to(value, typed.exponent)


def _is_near_slip(problem: Problem, candidate: _Candidate, slips: tuple[Slip, ...], value: float) -> bool:
    share = abs(value) * _NEAR_A_SLIP
    if not _is_close(candidate.value, value, share):
        return False
    try:
        return _is_close(candidate.value, value, min(share, problem.tolerance_with(slips).total))
    except (ArithmeticError, ValueError):
        return False


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
