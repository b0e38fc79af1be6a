"""Formulas that people type, against two others: Python's own parser for the arithmetic, pint for the units.

Trees are drawn, and each is written in both notations. Python reads ^ as something else and is given **; the rest of
the rules (a power from the right, before a minus; the others from the left) is the same by common convention. pint
works with its own full list of units and knows nothing of ours; a unit of the result that it gives other than the
one asked for, or another number, must have been refused.
"""

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as draw

from assessments.notation import Scope
from assessments.plant_formulas.balance import require_balance, size_of_unit
from assessments.plant_formulas.building import node_of
from assessments.plant_formulas.reading import FormulaError, read_formula

PYTHON = {"sqrt": math.sqrt, "exp": math.exp, "ln": math.log, "log10": math.log10}
VALUES = {"a": 1.7, "b": 0.6, "V_1": 12.25, "ρ": 3.0}
SIGNS = {"+": " + ", "-": " - ", "*": "*", "/": " / ", "^": "^"}

leaves = draw.sampled_from([*VALUES, "2.0", "3.0", "0.5", "12,75", "1e2", "10.0"])  # whole numbers of Python never end


def joined(parts):
    """Return a strategy for a tree one level up, as text: brackets stand only sometimes, so that order matters."""
    binary = draw.builds(
        lambda left, sign, right: f"{left}{SIGNS[sign]}{right}", parts, draw.sampled_from([*SIGNS]), parts
    )
    calls = draw.builds(lambda name, of: f"{name}({of})", draw.sampled_from([*PYTHON]), parts)
    return binary | parts.map(lambda part: f"({part})") | calls | parts.map(lambda part: f"-{part}")


formulas = draw.recursive(leaves, joined, max_leaves=12)


def by_python(text):
    """Return what Python makes of the text; only what this module drew ever comes here."""
    text = text.replace("^", "**").replace("12,75", "12.75")
    return eval(compile(text, "drawn", "eval"), {"__builtins__": {}}, {**PYTHON, **VALUES})


def by_us(text):
    named = {name: node_of(read_formula(f"{value}"), {}) for name, value in VALUES.items()}
    return Scope().number_of(node_of(read_formula(text), named))


@settings(max_examples=600)
@given(formulas)
@example("-2.0^2.0")
@example("2.0^-a^2.0")
@example("2.0^3.0^2.0")
@example("10 - 3 - 2")
@example("10 / 3 / 2*V_1")
@example("--a - -b")
def test_formula_is_worth_what_python_says(text):
    try:
        expected = by_python(text)
    except (ArithmeticError, ValueError, TypeError):
        assume(False)
    # A root of a number below 0 is a complex number to Python, and refused here.
    assume(isinstance(expected, float | int) and math.isfinite(expected))
    try:
        found = by_us(text)
    except FormulaError:
        assume(False)

    assert found == pytest.approx(expected, rel=1e-12)


UNITS = {"V": "hL", "W": "L", "m": "kg", "n": "g", "c": "g/L", "d": "kg/hL", "q": "hL/h", "t": "min", "p": "%"}
FIGURES = {"2": 2, "100 [L/hL]": 100, "1000 [g/kg]": 1000, "60 [min/h]": 60, "100 [%]": 100, "0.5": 0.5}
FIGURE_UNITS = {"100 [L/hL]": "L/hL", "1000 [g/kg]": "g/kg", "60 [min/h]": "min/h", "100 [%]": "percent"}
PINT_NAMES = {"hL": "hectoliter", "L": "liter", "%": "percent", "h": "hour", "min": "minute"}
AMOUNTS = {"V": 3.7, "W": 41.3, "m": 5.9, "n": 277.0, "c": 13.1, "d": 1.9, "q": 0.83, "t": 47.0, "p": 6.1}
WANTED = ["hL", "L", "kg", "g", "g/L", "kg/hL", "min", "h", "%", "", "kg/h", "hL/min"]
registry = pint.UnitRegistry()

unit_trees = draw.recursive(
    draw.sampled_from([*UNITS, *FIGURES]),
    lambda parts: draw.tuples(draw.sampled_from("+-*/"), parts, parts),
    max_leaves=7,
)


def pint_unit(spelling):
    named = "/".join(PINT_NAMES.get(part, part) for part in spelling.split("/"))
    return registry.parse_units(named) if spelling else registry.dimensionless


def as_text(tree):
    return tree if isinstance(tree, str) else f"({as_text(tree[1])} {tree[0]} {as_text(tree[2])})"


def by_pint(tree):
    if isinstance(tree, str):
        unit = UNITS.get(tree) or FIGURE_UNITS.get(tree, "")
        return registry.Quantity(float(AMOUNTS.get(tree) or FIGURES[tree]), pint_unit(unit))
    left, right = by_pint(tree[1]), by_pint(tree[2])
    return {"+": left.__add__, "-": left.__sub__, "*": left.__mul__, "/": left.__truediv__}[tree[0]](right)


@settings(max_examples=600)
@given(unit_trees, draw.sampled_from(WANTED))
@example(("/", ("*", ("*", "V", "100 [L/hL]"), "c"), "1000 [g/kg]"), "kg")
@example(("*", "V", "c"), "kg")
@example(("/", ("*", "V", "p"), "100 [%]"), "hL")
@example(("*", "V", "p"), "hL")
@example(("/", ("*", "q", "t"), "60 [min/h]"), "hL")
@example(("+", "V", "W"), "hL")
@example(("+", "V", ("/", "W", "100 [L/hL]")), "hL")
@example(("+", "2", "p"), "")
def test_units_that_balance_give_the_number_that_pint_gives(tree, wanted):
    text = as_text(tree)
    sizes = {name: size_of_unit(spelling) for name, spelling in UNITS.items()}
    try:
        parsed = read_formula(text)
        require_balance(parsed, sizes, wanted)
    except FormulaError:
        return

    named = {name: node_of(read_formula(str(amount)), {}) for name, amount in AMOUNTS.items()}
    try:
        value = Scope().number_of(node_of(parsed, named))
    except ZeroDivisionError:
        assume(False)

    assert value == pytest.approx(by_pint(tree).to(pint_unit(wanted)).magnitude, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("tree", "wanted"),
    [
        (("/", ("*", ("*", "V", "100 [L/hL]"), "c"), "1000 [g/kg]"), "kg"),
        (("/", ("*", "V", "p"), "100 [%]"), "hL"),
        (("/", ("*", "q", "t"), "60 [min/h]"), "hL"),
        (("*", ("/", "V", ("+", "V", ("/", "W", "100 [L/hL]"))), "100 [%]"), "%"),
        (("/", ("*", "V", "d"), "m"), ""),
    ],
)
def test_units_that_pint_balances_are_not_refused(tree, wanted):
    sizes = {name: size_of_unit(spelling) for name, spelling in UNITS.items()}

    require_balance(read_formula(as_text(tree)), sizes, wanted)

    assert by_pint(tree).to(pint_unit(wanted))


@pytest.mark.parametrize(
    ("one", "other", "factor"),
    [
        # NIST Special Publication 811, appendix B.8, from memory; the definitions of the litre and the hectolitre.
        ("US gal", "L", Fraction("3.785411784")),
        ("lb", "kg", Fraction("0.45359237")),
        ("hL", "m3", Fraction("0.1")),
        ("h", "min", Fraction(60)),
    ],
)
def test_factor_in_the_reason_is_the_published_one(one, other, factor):
    with pytest.raises(FormulaError) as refused:
        require_balance(read_formula("x"), {"x": size_of_unit(one)}, other)

    assert refused.value.params["other"] == f"{float(factor):.6g} {other}"
