"""Cleaning against the densities of Laliberte and Cooper (thermo), atomic masses (chemicals), and fluid mechanics."""

import math

import pytest
from chemicals.identifiers import MW
from fluids.core import Reynolds
from scipy.integrate import quad
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density

from assessments.calculations import calculation
from assessments.formulas import cleaning
from assessments.formulas.cleaning_checks import caustic_strength_pct, flow_for_speed_hl_per_h, flow_speed_m_per_s
from assessments.formulas.constants import CAUSTIC_MOLAR_MASS
from assessments.generation import problem
from tests.outside.check_values import CHECK_VALUES

CAUSTIC = "1310-73-2"


def density(strength, temp_c=20):
    """Return the density of caustic soda in kg/L by its share by weight in percent."""
    return Laliberte_density(temp_c + 273.15, [strength / 100], [CAUSTIC]) / 1000


@pytest.mark.parametrize(("name", "molality"), [("7.10e", 1.0), ("7.10f", 3.0)])
def test_densities_are_those_of_a_printed_table(name, molality):
    figure = CHECK_VALUES[name]
    grams = molality * MW(CAUSTIC)

    assert density(100 * grams / (1000 + grams), 25) == pytest.approx(figure["expected"], abs=figure["tolerance"])


def test_density_of_caustic_soda_is_as_near_to_the_model_as_is_said():
    errors = [abs(cleaning.caustic_density_kg_per_l(each) - density(each)) for each in range(1, 51)]

    assert max(errors) < 0.003


def test_cleaning_liquor_solves_the_balance_of_the_chemical():
    litres = brentq(lambda volume: volume * 1.35 * 0.32 - 800 * 0.02, 0, 800)
    kilograms = brentq(lambda mass: mass * 0.5 / 1000 - 0.02, 0, 1000)

    assert cleaning.concentrate_volume_l(800, 2, 32, 1.35) == pytest.approx(litres)
    assert cleaning.concentrate_mass_kg(1000, 2, 50) == pytest.approx(kilograms)


@pytest.mark.parametrize(("target", "stock"), [(1, 30), (2, 50), (4, 40)])
def test_both_densities_bring_the_liquor_to_its_strength_by_weight(target, stock):
    litres = brentq(lambda volume: volume * density(stock) * stock - 1000 * density(target) * target, 0, 500)

    made = cleaning.stock_volume_l(1000, target, density(target), stock, density(stock))

    assert made == pytest.approx(litres)


@pytest.mark.parametrize(("present", "target", "stock"), [(0, 2, 50), (1.5, 2, 32), (1, 3, 45)])
def test_topping_up_brings_the_tank_to_its_strength(present, target, stock):
    def strength(added):
        kilograms = 10 * present + added * density(stock) * stock / 100
        return 100 * kilograms / (1000 + added) - target

    added = cleaning.strengthening_volume_l(1000, present, target, stock, density(stock))

    assert added == pytest.approx(brentq(strength, 0, 500))


@pytest.mark.parametrize("code", ["C08-volume", "C29-densities", "C29-top_up"])
def test_drums_in_the_problems_have_the_density_of_caustic_soda(code):
    for seed in range(200):
        givens = problem(code, seed).givens

        assert givens["density"] == pytest.approx(density(givens["stock"]), abs=0.025)


def test_liquor_in_the_problems_has_the_density_of_caustic_soda():
    for seed in range(200):
        givens = problem("C29-densities", seed).givens

        assert givens["liquor"] == pytest.approx(density(givens["target"]), abs=0.008)


# Titration


def test_caustic_soda_has_the_molar_mass_of_its_atoms():
    assert MW(CAUSTIC) == pytest.approx(CAUSTIC_MOLAR_MASS.value, abs=0.005)


@pytest.mark.parametrize("strength", [0.5, 2.0, 4.0])
def test_titration_finds_the_caustic_that_was_weighed_in(strength):
    """Weigh caustic soda into water, take 20 mL, and add half-molar acid until no more is over."""
    moles = 10 * strength / MW(CAUSTIC) * 20 / 1000
    acid = brentq(lambda millilitres: moles - 0.5 * millilitres / 1000, 0, 200)

    assert caustic_strength_pct(acid, 0.5, 20) == pytest.approx(strength, rel=1e-3)


# Flow


@pytest.mark.parametrize("bore", [25, 50, 65, 100])
def test_flow_is_the_integral_of_the_speed_over_the_section(bore):
    litres_per_s = 1000 * quad(lambda radius: 1.8 * 2 * math.pi * radius, 0, bore / 2000)[0]

    assert flow_for_speed_hl_per_h(1.8, bore) == pytest.approx(litres_per_s * 36)
    assert flow_speed_m_per_s(litres_per_s * 3.6, bore) == pytest.approx(1.8)


@pytest.mark.parametrize("bore", [25, 50, 100])
def test_speed_for_cleaning_is_turbulent_in_every_pipe_of_the_problems(bore):
    kind = calculation("C29-flow")
    slowest = next(given.low for given in kind.givens if given.name == "speed")

    # Water of 20 degC, the thickest that runs; about 10 000 marks the turbulent flow that cleans.
    assert Reynolds(V=slowest, D=bore / 1000, nu=1.0e-6) > 10_000
