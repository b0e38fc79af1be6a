"""Conversions against pint's own table of definitions, at several points each."""

import pint
import pytest

from assessments.formulas import concentration, conversion, measures, pressure

LIBRARY = pint.UnitRegistry()
AMOUNTS = [0.0, 0.75, 12.0, 37.5, 990.0]


def by_pint(amount, source, target):
    return LIBRARY.Quantity(amount, source).to(target).magnitude


@pytest.mark.parametrize("amount", AMOUNTS)
@pytest.mark.parametrize(
    ("formula", "source", "target"),
    [
        (conversion.celsius_from_fahrenheit, "degF", "degC"),
        (conversion.fahrenheit_from_celsius, "degC", "degF"),
        (conversion.fahrenheit_difference, "delta_degC", "delta_degF"),
        (conversion.hectolitres_from_us_gallons, "gallon", "hectolitre"),
        (pressure.bar_from_psi, "psi", "bar"),
        (pressure.psi_from_bar, "bar", "psi"),
        (measures.kilograms_from_pounds, "pound", "kilogram"),
        (measures.pounds_from_kilograms, "kilogram", "pound"),
        (measures.beer_barrels_from_hectolitres, "hectolitre", "beer_barrel"),
        (measures.litres_from_imperial_gallons, "imperial_gallon", "litre"),
        (measures.hectolitres_from_imperial_barrels, "imperial_barrel", "hectolitre"),
        (measures.millilitres_from_fluid_ounces, "fluid_ounce", "millilitre"),
    ],
    ids=lambda part: getattr(part, "__name__", part),
)
def test_conversion_is_that_of_pint(formula, source, target, amount):
    assert formula(amount) == pytest.approx(by_pint(amount, source, target), rel=2e-6, abs=1e-9)


@pytest.mark.parametrize("air", [0.85, 1.01325])
@pytest.mark.parametrize("gauge", [0.0, 12.0, 45.0])
def test_gauge_and_absolute_are_an_atmosphere_apart(gauge, air):
    in_bar = by_pint(gauge, "psi", "bar") + air
    in_kpa = by_pint(in_bar, "bar", "kilopascal")

    assert pressure.absolute_bar_from_psi(gauge, air) == pytest.approx(in_bar, rel=2e-6)
    assert pressure.absolute_pressure_kpa(in_bar - air, air) == pytest.approx(in_kpa)
    assert pressure.gauge_bar_from_kpa(in_kpa, air) == pytest.approx(in_bar - air)


@pytest.mark.parametrize("density", [0.95, 1.0, 1.048, 1.3])
def test_contents_are_those_of_pint(density):
    weighs = LIBRARY.Quantity(density, "kg/L")
    by_mass = (LIBRARY.Quantity(50.0, "mg/L") / weighs).to("mg/kg").magnitude
    micrograms = (LIBRARY.Quantity(35.0, "ug/kg") * weighs).to("ug/L").magnitude
    grams = (LIBRARY.Quantity(0.5, "percent") * weighs).to("g/L").magnitude

    assert concentration.content_mg_per_kg(50.0, density) == pytest.approx(by_mass)
    assert concentration.concentration_mg_per_l(by_mass, density) == pytest.approx(50.0)
    assert concentration.concentration_ug_per_l(35.0, density) == pytest.approx(micrograms)
    assert concentration.concentration_g_per_l(0.5, density) == pytest.approx(grams)
