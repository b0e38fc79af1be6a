"""What every calculation must have, as a list of the faults that one has: the walk over the registry reads it.

Kept apart from the walk, so that calculations made faulty on purpose can be walked over too.
"""

import hashlib
import inspect
import math
from itertools import product

from assessments.calculations.frame import Measured, Word
from assessments.formulas.references import REFERENCES
from assessments.generation import NoProblemError, Problem, problem_of
from assessments.quantities import UnknownUnitError, unit
from assessments.vocabulary import AnswerKind

#: Draws of the whole range, beside its corners, in which no slip may pass for the right answer.
SWEEP = 400
SEEDS = range(40)
_LEAST_SLIPS = 2
_LEAST_TOLD = 2


def faults_of(kind, published):
    """Return what a calculation lacks, in words; `published` holds its rows of published figures."""
    try:
        problems = [problem_of(kind, seed) for seed in SEEDS]
    except NoProblemError as none:
        problems, unset = [], [str(none)]
    else:
        unset = []
    return [
        *unset,
        *_faults_of_words(kind),
        *_faults_of_units(kind),
        *_faults_of_formula(kind, problems),
        *_faults_of_slips(kind, problems),
        *_faults_of_range(kind),
        *_faults_of_outside(published),
    ]


def _faults_of_words(kind):
    if not kind.sources:
        yield "no source"
    yield from (f"{key} is no reference" for key in kind.sources if key not in REFERENCES)
    if not (kind.title and kind.valid_for):
        yield "no title or no range of validity"
    if not kind.cautions and not kind.is_harmless:
        yield "neither a caution nor harmless"
    if kind.cautions and kind.is_harmless:
        yield "a caution, yet harmless"
    if not kind.asks.endswith((".", "?")):
        yield "no question"


def _faults_of_units(kind):
    for given in kind.givens:
        if not isinstance(given, Measured):
            continue
        if not _is_unit(given.unit):
            yield f"{given.name} has no unit that can be typed"
        if not given.low < given.high or not math.isclose(given.value_at(given.choices - 1), given.high):
            yield f"{given.name} does not go from low to high by its resolution"
    if kind.kind is AnswerKind.QUANTITY and not _is_unit(kind.answer.unit):
        yield "the answer has no unit that can be typed"
    if kind.kind is not AnswerKind.QUANTITY and kind.answer.unit:
        yield "the answer is no quantity, yet has a unit"
    if bool(kind.options) is not (kind.kind is AnswerKind.CHOICE):
        yield "options without a choice, or a choice without options"


def _is_unit(text):
    try:
        return bool(text and unit(text))
    except UnknownUnitError:
        return False


def _faults_of_formula(kind, problems):
    formulas = formulas_of(kind)
    if not formulas:
        yield "works by no formula"
    for formula in formulas:
        if "References" not in (inspect.getdoc(formula) or ""):
            yield f"{formula.__name__} names no source"
    for made in problems:
        stepped = kind.value(made.givens)
        is_number = isinstance(made.answer, float | int)
        if not (math.isclose(stepped, made.answer, abs_tol=1e-12) if is_number else stepped == made.answer):
            yield f"steps and formula part at seed {made.seed}"


def formulas_of(kind):
    """Return the formulas of `assessments.formulas` that a calculation works by: its own, or those it calls."""
    work = kind.work
    if _is_formula(work):
        return [work]
    modules = [value for value in vars(inspect.getmodule(work)).values() if inspect.ismodule(value)]
    shelves = [module for module in modules if module.__name__.startswith("assessments.formulas")]
    called = [getattr(shelf, name, None) for shelf in shelves for name in work.__code__.co_names]
    return [each for each in called if _is_formula(each)]


def _is_formula(work):
    return inspect.isfunction(work) and work.__module__.startswith("assessments.formulas")


def _faults_of_slips(kind, problems):
    names = [slip.name for slip in kind.slips]
    if len(names) < _LEAST_SLIPS:
        yield "fewer than two slips"
    if len(set(names)) < len(names):
        yield "two slips of one name"
    parts = {*kind.steps, *kind.givens}
    for slip in kind.slips:
        if not slip.advice:
            yield f"no advice on {slip.name}"
        if not slip.replaces or not set(slip.replaces) <= parts:
            yield f"{slip.name} changes no part of the working"
    for slip in kind.slips:
        told = sum(slip in made.slips for made in problems)
        if told < (_LEAST_TOLD if slip.sometimes else len(problems)):
            yield f"{slip.name} is told in {told} of {len(problems)} problems"


def _faults_of_range(kind):
    """Yield each slip that passes for the right answer somewhere in the range of the givens, with where that is."""
    told = set()
    for givens in [*corners_of(kind), *swept(kind)]:
        for slip in _not_told(kind, givens):
            if slip.name not in told:
                told.add(slip.name)
                yield f"{slip.name} passes for the right answer at {dict(givens)}"


def _not_told(kind, givens):
    made = Problem(kind, givens)
    try:
        if not kind.accepts(givens):
            return []
        _ = made.answer
    except (ArithmeticError, ValueError):
        return []
    return [slip for slip in kind.slips if not slip.sometimes and not made.is_told_apart(slip)]


def corners_of(kind):
    """Return the givens at every corner of their ranges: each at its lowest and at its highest, words at each word."""
    ends = [
        given.options if isinstance(given, Word) else (given.value_at(0), given.value_at(given.choices - 1))
        for given in kind.givens
    ]
    names = [given.name for given in kind.givens]
    return [dict(zip(names, values, strict=True)) for values in product(*ends)]


def swept(kind):
    """Return givens drawn evenly from the whole range, whatever the problems leave out."""
    for draw in range(SWEEP):
        yield {given.name: given.value_at(_drawn(kind, draw, given) % given.choices) for given in kind.givens}


def _drawn(kind, draw, given):
    return int.from_bytes(hashlib.sha256(f"sweep:{kind.code}:{draw}:{given.name}".encode()).digest()[:16], "big")


def _faults_of_outside(published):
    if not published:
        yield "no check from outside"
    yield from ("a check that names no source" for *_, source in published if not source.strip())
