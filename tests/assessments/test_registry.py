"""Every calculation in the registry is whole: sources, slips, cautions, and a check from outside."""

import math

import pytest

from assessments.calculations import UnknownCalculationError, calculation, calculations, for_framework_code
from assessments.calculations.frame import Measured
from assessments.formulas.references import REFERENCES
from assessments.generation import Problem, problem
from assessments.notation import Scope
from assessments.quantities import unit
from assessments.vocabulary import AnswerKind, Family
from tests.outside.published import PUBLISHED

SEEDS = range(40)
CODES = sorted(calculations())
LINKED = [f"C{number:02}" for number in range(1, 20)]
# Where a mistake hurts nobody, no caution is shown.
HARMLESS = {
    "C01-difference",
    "C01-volume",
    "C10-least",
    "C14-best_before",
    "C14-day_number",
    "C15-check_digit",
}

# Stated, and not needed: telling it apart is part of the problem.
SPARE = {
    "C12-overlap": {"seam_thickness"},
    "C13-skew": {"specified"},
}


@pytest.mark.parametrize("code", LINKED)
def test_every_code_of_the_syllabus_has_a_calculation(code):
    assert for_framework_code(code)


def test_unknown_code_is_refused_by_name():
    with pytest.raises(UnknownCalculationError, match="C99"):
        calculation("C99")


@pytest.mark.parametrize("code", CODES)
def test_calculation_names_its_sources_and_validity(code):
    kind = calculation(code)

    assert kind.sources
    assert set(kind.sources) <= set(REFERENCES)
    assert kind.valid_for
    assert kind.title
    assert kind.asks.endswith((".", "?"))
    assert kind.family in Family


@pytest.mark.parametrize("code", CODES)
def test_calculation_warns_where_the_work_can_hurt(code):
    assert bool(calculation(code).cautions) is (code not in HARMLESS)


@pytest.mark.parametrize("code", CODES)
def test_calculation_has_units_that_can_be_typed(code):
    kind = calculation(code)

    for given in kind.givens:
        if isinstance(given, Measured):
            assert unit(given.unit)
            assert given.low < given.high
            assert given.value_at(given.choices - 1) == pytest.approx(given.high)
    if kind.kind is AnswerKind.QUANTITY:
        assert unit(kind.answer.unit)
    else:
        assert kind.answer.unit == ""
    assert bool(kind.options) is (kind.kind is AnswerKind.CHOICE)


@pytest.mark.parametrize("code", CODES)
def test_steps_agree_with_the_formula(code):
    for seed in SEEDS:
        made = problem(code, seed)
        stepped = made.calculation.value(made.givens)

        if isinstance(made.answer, float | int):
            assert math.isclose(stepped, made.answer, rel_tol=1e-12, abs_tol=1e-12)
        else:
            assert stepped == made.answer


@pytest.mark.parametrize("code", CODES)
def test_calculation_has_two_slips_that_can_be_told_from_the_answer(code):
    kind = calculation(code)
    told = {slip.name: 0 for slip in kind.slips}
    for seed in SEEDS:
        for slip in problem(code, seed).slips:
            told[slip.name] += 1

    assert len(kind.slips) >= 2
    assert len(told) == len(kind.slips), "two slips of the same name"
    for slip in kind.slips:
        assert slip.advice
        assert told[slip.name] >= (2 if slip.sometimes else len(SEEDS)), slip.name


@pytest.mark.parametrize("code", CODES)
def test_slips_change_parts_of_the_working(code):
    kind = calculation(code)
    parts = set(kind.steps) | set(kind.givens)

    for slip in kind.slips:
        assert slip.replaces
        assert set(slip.replaces) <= parts, slip.name


@pytest.mark.parametrize("code", CODES)
def test_calculation_has_a_check_from_outside(code):
    assert PUBLISHED[code]


@pytest.mark.parametrize("code", CODES)
def test_every_given_matters_or_is_there_to_be_left_out(code):
    names = {given.name for given in calculation(code).givens} - SPARE.get(code, set())

    unused = {name for name in names if not any(answer_changes(code, seed, name) for seed in SEEDS)}

    assert unused == set()


def answer_changes(code, seed, name):
    """Return whether the answer changes when one given is taken from the next problem."""
    made, other = problem(code, seed), problem(code, seed + 1)
    try:
        return Problem(made.calculation, {**made.givens, name: other.givens[name]}).answer != made.answer
    except ValueError:
        return False


def test_a_slip_sees_the_given_as_it_was():
    kind = calculation("C06-bodyfeed")
    slip = next(slip for slip in kind.slips if slip.name == "hL taken as L")
    made = Problem(kind, {"volume": 600.0, "dose": 120.0})

    assert made.slip_value(slip) == 7200.0
    assert Scope(made.givens).number_of(kind.answer) == 72.0
