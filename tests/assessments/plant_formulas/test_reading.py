"""What is a formula, what is not, and what is said about it."""

import pytest

from assessments.notation import Look, Scope
from assessments.plant_formulas.building import node_of
from assessments.plant_formulas.reading import MAX_DEPTH, FormulaError, read_formula
from assessments.plant_formulas.syntax import Call, Figure, Operation, Symbol

V, TWO = Symbol("V"), Figure(2.0)


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("V", V),
        ("  ( V )  ", V),
        ("1,5", Figure(1.5)),
        ("1.234", Figure(1.234)),
        ("2e-3", Figure(0.002)),
        ("100 [L/hL]", Figure(100.0, "L/hL")),
        ("V_1", Symbol("V_1")),
        ("π", Symbol("π")),
        ("pi", Symbol("π")),
        ("-V^2", Call("-", Operation("^", V, TWO))),
        ("V²", Operation("^", V, TWO)),
        ("2^-V", Operation("^", TWO, Call("-", V))),
        ("V^2^V", Operation("^", V, Operation("^", TWO, V))),
        ("V-2-V", Operation("-", Operation("-", V, TWO), V)),
        ("V/2*V", Operation("*", Operation("/", V, TWO), V)),
        ("V + 2 × V", Operation("+", V, Operation("*", TWO, V))),
        ("V ÷ 2 − V", Operation("-", Operation("/", V, TWO), V)),
        ("log10(V)", Call("log10", V)),
        ("ceil (V)", Call("ceil", V)),
    ],
)
def test_formula_is_read(text, tree):
    assert read_formula(text) == tree


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "Write a formula"),
        (" \n\t ", "Write a formula"),
        ("how much water", "Put a sign before “much”"),
        ("__import__('os')", "“_” cannot stand in a formula"),
        ("().__class__", "“)” cannot stand at place 2"),
        ("V.real", "“.” cannot stand in a formula"),
        ("lambda: 0", "“:” cannot stand"),
        ("[x for x in V]", "cannot stand at place 1"),
        ("V if 1 else 2", "Put a sign before “if”"),
        ("<script>alert(1)</script>", "“<” cannot stand"),
        ("{{ V }}", "“{” cannot stand"),
        ("V; drop", "“;” cannot stand"),
        ("f'{V}'", "“'” cannot stand"),
        ("1_000", "“_” cannot stand"),
        ("0x10", "Put a sign before “x”"),
        ("9**9**9", "Write a power with ^"),
        ("10^400", "A power goes up to 12"),
        ("1e400", "beyond anything in a plant"),
        ("1e-400", "beyond anything in a plant"),
        ("1234567890123456", "more than 15 digits"),
        ("1,234 * V", "can mean two numbers"),
        ("V +", "breaks off"),
        ("(V", "breaks off"),
        ("V)", "“)” cannot stand at place 2"),
        ("2V", "Put a sign before “V”"),
        ("(V)(V)", "Put a sign before “(”"),
        ("sin(V)", "“sin” is no function here"),
        ("eval(V)", "“eval” is no function here"),
        ("sqrt()", "“)” cannot stand at place 6"),
        ("V = 2", "“=” cannot stand"),
        ("\u0430 + 1", "“\u0430” cannot stand"),  # a Cyrillic letter that looks like a
        ("\uff21 + 1", "cannot stand"),  # a full-width A
        ("\u0391 + 1", "cannot stand"),  # a Greek capital that looks like A
        ("V\u200b + 1", "cannot stand"),
        ("\u0661 + 1", "cannot stand"),  # an Arabic digit
        ("V\x00", "cannot stand"),
        ("V" * 201, "at most 200 characters"),
        ("V+" * 500_000 + "V", "at most 200 characters"),
        ("-" * 150 + "V", "too large"),
        ("V" + "+V" * 90, "too large"),
    ],
)
def test_what_is_no_formula_is_refused_in_words(text, message):
    with pytest.raises(FormulaError) as refused:
        read_formula(text)

    assert message in str(refused.value)


def test_brackets_may_nest_as_deep_as_the_text_is_long():
    assert read_formula("(" * 99 + "V" + ")" * 99) == V


def test_depth_is_limited():
    read_formula("-" * (MAX_DEPTH - 1) + "V")

    with pytest.raises(FormulaError, match="too large"):
        read_formula("-" * MAX_DEPTH + "V")


@pytest.mark.parametrize("text", ["9^9^9", "10^12^12", "1/(V-V)", "sqrt(-V)", "ln(V-V)", "(-V)^0.5", "exp(999 * V)"])
def test_what_has_no_value_raises_a_plain_error_of_arithmetic(text):
    node = node_of(read_formula(text), {"V": node_of(TWO, {})})

    with pytest.raises((ArithmeticError, ValueError)):
        Scope().number_of(node)


def test_formula_is_printed_as_it_was_meant():
    node = node_of(read_formula("-(2 + 3)^2 / sqrt(4) * pi"), {})

    assert node.printed(Look(as_markup=False)) == "(−(2 + 3)^2) / √4 × π"
    assert "<msqrt><mn>4</mn></msqrt>" in node.printed(Look())
