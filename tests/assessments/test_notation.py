"""Formulas as trees: values, brackets, MathML, rounding."""

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.notation import (
    Fixed,
    Line,
    Look,
    Number,
    Scope,
    SquareRoot,
    arc_tangent,
    decimal_log,
    equation,
    exponential,
    magnitude,
    math_element,
    natural_log,
    polynomial,
    rounded,
    rounded_down,
    rounded_up,
    tangent,
    written,
)

A, B, C = (Fixed(letter, value=value) for letter, value in (("a", 2.0), ("b", 3.0), ("c_x", 4.0)))
TEXT = Look(as_markup=False)
NUMBERS = Look(Scope(), as_markup=False)


@pytest.mark.parametrize(
    ("node", "text", "numbers", "value"),
    [
        (A + B * C, "a + b × c_x", "2 + 3 × 4", 14),
        ((A + B) * C, "(a + b) × c_x", "(2 + 3) × 4", 20),
        (A - (B - C), "a − (b − c_x)", "2 − (3 − 4)", 3),
        (A - B - C, "a − b − c_x", "2 − 3 − 4", -5),
        (A / (B * C), "a / (b × c_x)", "2 / (3 × 4)", 1 / 6),
        (A / B / C, "a / b / c_x", "2 / 3 / 4", 1 / 6),
        (A ** (B - 1), "a^(b − 1)", "2^(3 − 1)", 4),
        ((A + 1) ** 2, "(a + 1)^2", "(2 + 1)^2", 9),
        (1 - 1 / A, "1 − 1 / a", "1 − 1 / 2", 0.5),
        (2**A, "2^a", "2^2", 4),
        (3 + A, "3 + a", "3 + 2", 5),
        (rounded_up(A / B), "⌈a / b⌉", "⌈2 / 3⌉", 1),
        (rounded_down(A / B), "⌊a / b⌋", "⌊2 / 3⌋", 0),
        (exponential(A - 2), "exp(a − 2)", "exp(2 − 2)", 1),
        (arc_tangent(A - 1), "arctan(a − 1)", "arctan(2 − 1)", 45),
        (tangent(A + 43), "tan(a + 43)", "tan(2 + 43)", 1),
        (natural_log(A / 2), "ln(a / 2)", "ln(2 / 2)", 0),
        (decimal_log(50 * A), "log_10(50 × a)", "log_10(50 × 2)", 2),
        (magnitude(A - B), "|a − b|", "|2 − 3|", 1),
        (SquareRoot(C), "√c_x", "√4", 2),
        (B * SquareRoot(A + 7), "b × √(a + 7)", "3 × √(2 + 7)", 9),
        (SquareRoot(C) ** 2, "(√c_x)^2", "(√4)^2", 4),
        (polynomial(A, (1, -3, 0, 2)), "1 − 3 × a + 2 × a^3", "1 − 3 × 2 + 2 × 2^3", 11),
        (exponential(-((A - 2) / B)), "exp(−(a − 2) / b)", "exp(−(2 − 2) / 3)", 1),
        (C - (-A) * B, "c_x − (−a) × b", "4 − (−2) × 3", 10),
        (A + Number(-1), "a + −1", "2 + −1", 1),
    ],
)
def test_tree_prints_and_evaluates(node, text, numbers, value):
    assert node.printed(TEXT) == text
    assert node.printed(NUMBERS) == numbers
    assert Scope().number_of(node) == pytest.approx(value)


def test_a_negative_value_stands_in_brackets():
    below = Line.of("d", A - C, "difference", decimals=1)
    total = Line.of("s", B * below, "product")

    assert equation(total, NUMBERS) == "s = 3 × (−2.0)"


@pytest.mark.parametrize("code", sorted(calculations()))
def test_mathml_is_well_formed_and_keeps_to_presentation_elements(code):
    allowed = {"math", "mrow", "mi", "mn", "mo", "mtext", "mfrac", "msqrt", "msub", "msup"}
    for step in problem(code, 5).steps():
        for markup in (step.symbols, step.numbers):
            names = {element.tag.partition("}")[2] for element in ElementTree.fromstring(markup).iter()}
            assert names <= allowed


def test_mathml_of_a_fraction_needs_no_brackets():
    markup = math_element(equation(Line.of("q", (A + B) / C, "quotient"), Look()))

    assert (
        "<mfrac><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><msub><mi>c</mi><mtext>x</mtext></msub></mfrac>" in markup
    )


def test_mathml_of_a_root_and_of_a_logarithm():
    assert SquareRoot(A + B).printed(Look()) == "<msqrt><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow></msqrt>"
    assert decimal_log(A).printed(Look()) == (
        '<mrow><msub><mi mathvariant="normal">log</mi><mtext>10</mtext></msub><mo>(</mo><mi>a</mi><mo>)</mo></mrow>'
    )


@pytest.mark.parametrize("node", [SquareRoot(A - B), (A - B) ** 0.5, natural_log(A - B), decimal_log(A - A)])
def test_what_has_no_value_is_refused(node):
    with pytest.raises(ValueError, match=r"\w"):
        Scope().number_of(node)


def test_text_in_markup_is_escaped():
    assert "&lt;" in Fixed("<", value=1).printed(Look())


def test_a_word_is_no_number():
    with pytest.raises(TypeError, match="no number"):
        Scope({"colour": "red"}).number_of(
            next(iter(calculations()["C02-iodine"].givens)).__class__(
                "colour", name="colour", says="", options=("red",)
            )
        )


@pytest.mark.parametrize(
    ("value", "decimals", "expected"),
    [
        (2.675, 2, "2.68"),
        (0.125, 2, "0.13"),
        (-2.5, 0, "-3"),
        (1.005, 2, "1.01"),
        (0.1 + 0.2, 1, "0.3"),
        (-0.001, 1, "0.0"),
    ],
)
def test_rounding_is_half_up_and_free_of_binary_crumbs(value, decimals, expected):
    assert str(rounded(value, decimals)) == expected


def test_rounding_up_takes_the_next_place():
    assert str(rounded(10.61, 1, round_up=True)) == "10.7"
    assert str(rounded(9.9, 1, round_up=True)) == "9.9"


@pytest.mark.parametrize(
    ("value", "decimals", "expected"),
    [(22500.0, 0, "22\u2009500"), (9999, 0, "9999"), (-3.5, 1, "−3.5"), (1234567.891, 2, "1\u2009234\u2009567.89")],
)
def test_numbers_are_written_with_thin_spaces_and_a_true_minus(value, decimals, expected):
    assert written(value, decimals=decimals) == expected


@given(st.floats(-1e12, 1e12), st.integers(0, 4))
def test_rounding_stays_within_half_a_place(value, decimals):
    assert abs(float(rounded(value, decimals)) - value) <= 0.5 * 10**-decimals + abs(value) * 1e-11 + 1e-12
