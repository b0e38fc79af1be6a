"""Units balance, or the reason why not is said."""

import pytest

from assessments.plant_formulas.balance import require_balance, size_of_unit
from assessments.plant_formulas.reading import FormulaError, read_formula


def balance(formula, wanted, units):
    sizes = {symbol: size_of_unit(spelling) for symbol, spelling in units.items()}
    require_balance(read_formula(formula), sizes, wanted)


@pytest.mark.parametrize(
    ("formula", "wanted", "units"),
    [
        ("V * 100 [L/hL] * c / 1000 [g/kg]", "kg", {"V": "hL", "c": "g/L"}),
        ("V * p / 100 [%]", "hL", {"V": "hL", "p": "%"}),
        ("V * (1 - p / 100 [%])", "hL", {"V": "hL", "p": "%"}),
        ("V * ρ * E / 100 [°P]", "kg", {"V": "hL", "ρ": "kg/hL", "E": "°P"}),
        ("V * d * 100 [kg/hL]", "kg", {"V": "hL", "d": "SG"}),
        ("n * m * 60 [min/h]", "kg/h", {"n": "cans/min", "m": "kg"}),
        ("a * b", "cases", {"a": "layers", "b": "cases/layer"}),
        ("a / b * 100 [%]", "%", {"a": "units", "b": "units"}),
        ("T_1 - T_2", "K", {"T_1": "°C", "T_2": "°C"}),
        ("T_1 - T_2", "°C difference", {"T_1": "°C", "T_2": "°C"}),
        ("T_1 + (T_2 - T_1) * V / (V + W)", "°C", {"T_1": "°C", "T_2": "°C", "V": "hL", "W": "hL"}),
        ("p_1 - p_2", "bar", {"p_1": "bar g", "p_2": "bar g"}),
        ("p + q", "bar a", {"p": "bar a", "q": "bar"}),
        ("π * d^2 / 4 * h * 1000 [L/m3]", "L", {"d": "m", "h": "m"}),
        ("sqrt(A * 4 / π)", "m", {"A": "m2"}),
        ("A^(1/2)", "m", {"A": "m2"}),
        ("ln(N / N_0) / t", "1/h", {"N": "million cells/mL", "N_0": "million cells/mL", "t": "h"}),
        ("V * C * 1.96 [g/L/vol] * 100 [L/hL]", "g", {"V": "hL", "C": "vol"}),
        ("ceil(n / m)", "", {"n": "units", "m": "units"}),
        ("-V", "L", {"V": "L"}),
    ],
)
def test_units_balance(formula, wanted, units):
    balance(formula, wanted, units)


@pytest.mark.parametrize(
    ("formula", "wanted", "units", "message"),
    [
        ("V * m", "L", {"V": "hL", "m": "kg"}, "gives hL × kg, and this is to be in L"),
        ("V * c", "kg", {"V": "hL", "c": "g/L"}, "1 hL × g/L is 0.1 kg"),
        ("V * p / 100", "hL", {"V": "hL", "p": "%"}, "1 hL × % is 0.01 hL"),
        ("a / b", "%", {"a": "kg", "b": "kg"}, "1 is 100 %"),
        ("V + W", "hL", {"V": "hL", "W": "L"}, "Turn one into the other first"),
        ("V + m", "hL", {"V": "hL", "m": "kg"}, "do not measure the same"),
        ("1 + V", "hL", {"V": "hL"}, "adds or subtracts a plain number and hL"),
        ("T_1 + T_2", "°C", {"T_1": "°C", "T_2": "°C"}, "a zero of their own"),
        ("T * 1.8 + 32", "°F", {"T": "°C"}, "take a difference before"),
        ("(T * V + U * W) / (V + W)", "°C", {"T": "°C", "U": "°C", "V": "L", "W": "L"}, "take a difference before"),
        ("T_1 - T_2", "°C", {"T_1": "°C", "T_2": "°C"}, "one is a difference and the other is not"),
        ("D - T", "K", {"D": "K", "T": "°C"}, "cannot be taken from a difference"),
        ("p * V", "bar", {"p": "bar g", "V": "fraction"}, "take a difference before"),
        ("a + b", "%", {"a": "% w/w", "b": "% vol"}, "on different bases"),
        ("a + a", "% vol", {"a": "% w/w"}, "on different bases"),
        ("ln(t)", "h", {"t": "h"}, "ln takes a plain number, and this is h"),
        ("exp(p)", "", {"p": "%"}, "Divide by the unit first"),
        ("2^t", "", {"t": "h"}, "^ takes a plain number"),
        ("A^x", "m", {"A": "m2", "x": "fraction"}, "a number that stands in the formula"),
        ("V * z", "hL", {"V": "hL"}, "“z” is neither given"),
        ("V * 2 [quux]", "hL", {"V": "hL"}, "“quux” is not a unit"),
        ("V", "buckets of", {"V": "hL"}, "“buckets of” is not a unit"),
        ("V * 2 [__class__]", "hL", {"V": "hL"}, "is not a unit"),
    ],
)
def test_units_that_do_not_balance_are_refused_with_the_reason(formula, wanted, units, message):
    with pytest.raises(FormulaError) as refused:
        balance(formula, wanted, units)

    assert message in str(refused.value)
