"""The tolerance against the GUM (JCGM 100:2008), and against people who work as the page does."""

import math
from dataclasses import fields, replace
from decimal import ROUND_HALF_DOWN, ROUND_HALF_EVEN, ROUND_HALF_UP

import numpy as np
import pytest

from assessments.calculations import calculation, calculations
from assessments.calculations.frame import Measured
from assessments.generation import Problem, problem
from assessments.notation import Fixed, Node, Number, Scope
from assessments.tolerance import Tolerance, tolerance_of
from assessments.vocabulary import AnswerKind
from tests.assessments.planted import stepped

QUANTITIES = sorted(code for code, kind in calculations().items() if kind.kind is AnswerKind.QUANTITY)


def uncertain(resolution):
    """Return the standard uncertainty of a reading that may lie anywhere in its step (GUM F.2.2.1)."""
    return resolution / math.sqrt(12)


# Slopes by hand, each times the uncertainty of its reading, as the root of the sum of squares (GUM 5.1.2).


def by_hand_fill(gross, tare, density):
    volume = (gross - tare) / density
    return math.hypot(uncertain(0.1) / density, uncertain(0.1) / density, uncertain(0.001) * volume / density)


def by_hand_pasteurisation(minutes, temperature):
    units = minutes * 1.393 ** (temperature - 60)
    return uncertain(0.1) * units * math.log(1.393)


def by_hand_apparent(original, apparent):
    return math.hypot(uncertain(0.1) * 100 * apparent / original**2, uncertain(0.1) * 100 / original)


def by_hand_pressure(temperature, pressure, atmosphere):
    # c = 10 p exp(2617.25 / T - 10.73797): dc/dp = c/p, dc/dT = -2617.25 c / T^2
    kelvin, absolute = temperature + 273.15, pressure + atmosphere
    dissolved = 10 * absolute * math.exp(2617.25 / kelvin - 10.73797)
    by_pressure = dissolved / absolute
    by_temperature = 2617.25 * dissolved / kelvin**2
    return math.hypot(uncertain(0.05) * by_pressure, uncertain(0.01) * by_pressure, uncertain(0.1) * by_temperature)


BY_HAND = [
    ("C10-fill", {"gross": 532.6, "tare": 198.3, "density": 1.008}, by_hand_fill),
    ("C11-units", {"minutes": 12.0, "temperature": 64.0}, by_hand_pasteurisation),
    ("C04-apparent", {"original": 12.0, "apparent": 2.4}, by_hand_apparent),
    ("C05-pressure", {"temperature": 4.0, "pressure": 1.0, "atmosphere": 1.01}, by_hand_pressure),
]


@pytest.mark.parametrize(("code", "givens", "by_hand"), BY_HAND, ids=[code for code, *_ in BY_HAND])
def test_readings_bring_the_uncertainty_of_the_closed_form(code, givens, by_hand):
    parts = tolerance_of(calculation(code), givens, {})

    assert parts.readings == pytest.approx(by_hand(**givens), rel=0.002)


@pytest.mark.parametrize(
    "code", [*(code for code, *_ in BY_HAND), "C17-pitch", "C12-percent", "C19-alcohol", "C07-lot"]
)
def test_readings_bring_the_spread_of_a_monte_carlo(code):
    made = problem(code, 7)
    drawn = np.random.default_rng(2008).uniform(-0.5, 0.5, (len(made.calculation.givens), 20_000))
    columns = [
        made.givens[given.name]
        + (given.resolution * row if isinstance(given, Measured) and not given.is_exact else 0 * row)
        for given, row in zip(made.calculation.givens, drawn, strict=True)
    ]

    answers = [made.calculation.work(*values) for values in zip(*columns, strict=True)]

    # The spread of 20,000 draws is itself known to about 0.5 %.
    assert made.tolerance_with(()).readings == pytest.approx(np.std(answers), rel=0.02)


@pytest.mark.parametrize("rounding", [ROUND_HALF_UP, ROUND_HALF_EVEN, ROUND_HALF_DOWN])
@pytest.mark.parametrize("code", QUANTITIES)
def test_whoever_rounds_every_step_as_shown_stays_within_the_tolerance(code, rounding):
    for seed in range(60):
        made = problem(code, seed)
        parts = made.tolerance_with(())

        # The answer itself may still be rounded to its place, which is what that part is for.
        left = made.tolerance - parts.rounding
        assert abs(stepped(made, rounding=rounding) - made.answer) <= left + 1e-9 * abs(made.answer), seed


def test_steps_that_come_out_even_add_nothing():
    # 47.0 degC is written as it is.
    assert tolerance_of(calculation("C03-strike"), {"mash": 65.0, "grist": 18.0, "ratio": 3.0}, {}).steps == 0.0


def test_a_rounded_step_adds_half_its_place_times_its_slope():
    # 2 h 25 min are 2.41666... h, written 2.417; the rate changes by N / t^2 for each hour.
    parts = tolerance_of(calculation("C09-rate"), {"good": 54000.0, "hours": 2.0, "minutes": 25.0}, {})

    assert parts.steps == pytest.approx(0.0005 * 54000 / (29 / 12) ** 2, rel=0.001)


#: What people write for a constant, beside all of its figures.
USUAL_FIGURES = {
    math.pi: (3.14, 3.1416),
    273.15: (273,),
    1.01325: (1.013,),
    117.3478: (117.35, 117.3),
    14.5038: (14.5,),
    14.695: (14.7,),
    4.54609: (4.546,),
    3.785412: (3.785,),
    29.5735: (29.57,),
    453.59237: (453.6,),
    0.45359237: (0.4536, 0.454),
    789.24: (789,),
    998.2: (998,),
    0.8192: (0.82,),
    0.1808: (0.18,),
}


def constants_of(node):
    """Return the constants of a formula, by walking it down."""
    held = [getattr(node, each.name) for each in fields(node)]
    parts = [part for each in held for part in (each if isinstance(each, tuple) else (each,))]
    below = [constant for part in parts if isinstance(part, Node) for constant in constants_of(part)]
    return [node, *below] if isinstance(node, Fixed | Number) else below


@pytest.mark.parametrize("code", QUANTITIES)
def test_whoever_takes_a_constant_to_its_usual_figures_is_right(code):
    for constant in constants_of(calculation(code).answer):
        for usual in USUAL_FIGURES.get(constant.value, ()):
            for seed in range(20):
                made = problem(code, seed)
                left = made.tolerance - made.tolerance_with(()).rounding
                answer = Scope(made.givens, {constant: Number(usual)}).value_of(made.calculation.answer)
                assert abs(answer - made.answer) <= left * (1 + 1e-9), (constant.value, usual, seed)


def test_constants_are_found_wherever_they_stand():
    values = {constant.value for constant in constants_of(calculation("C05-pressure").answer)}

    assert {273.15, 2617.25, 10.73797} <= values


def test_other_figures_for_a_constant_are_right_too():
    kind = calculation("C03-strike")
    gap, _ = kind.steps
    with_other = replace(kind, also_right=({gap: gap + 1}, {gap: gap - Number(0.5)}))
    givens = {"mash": 65.0, "grist": 18.0, "ratio": 3.0}

    widened = tolerance_of(with_other, givens, {})

    assert widened.figures == pytest.approx(0.41 / 3.0)
    assert replace(widened, figures=0.0) == tolerance_of(kind, givens, {})


def test_a_slip_has_a_tolerance_of_its_own():
    # Without the density the net weight is the answer: only the two weighings count.
    made = Problem(calculation("C10-fill"), {"gross": 532.6, "tare": 198.3, "density": 1.008})
    slip = next(slip for slip in made.slips if slip.name == "density left out")

    assert made.tolerance_with((slip,)).readings == pytest.approx(math.hypot(uncertain(0.1), uncertain(0.1)))


@pytest.mark.parametrize("code", sorted(set(calculations()) - set(QUANTITIES)))
def test_what_is_counted_or_chosen_has_no_tolerance(code):
    assert problem(code, 3).tolerance_with(()) == Tolerance()


def test_total_is_the_sum_of_the_parts():
    assert Tolerance(rounding=0.5, readings=0.25, steps=0.125, figures=1.0).total == 1.875


def test_a_slip_on_a_constant_is_not_undone_by_its_other_figures():
    made = problem("C27-barrel", 3)
    slip = next(slip for slip in made.slips if slip.name == "took the oil barrel")

    assert made.tolerance_with((slip,)).figures == 0.0
    assert made.tolerance_with(()).figures > 0.0
