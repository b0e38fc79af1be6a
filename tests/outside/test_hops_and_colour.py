"""Hops and colour against balances solved numerically, the kinetics integrated, and the law of Beer and Lambert."""

import pint
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from assessments.formulas import colour, hops
from assessments.formulas.isomerisation import isomerised_pct
from tests.outside.check_values import CHECK_VALUES


def test_hops_solve_the_balance_of_alpha_acid():
    mass = brentq(lambda kg: kg * 0.088 - 4.0 * 0.10, 0, 100)
    bitter = brentq(lambda kg: kg * 1e6 * 0.12 * 0.31 / (150 * 100) - 28, 0, 1000)

    assert hops.lot_mass_kg(4.0, 10.0, 8.8) == pytest.approx(mass)
    assert hops.hop_mass_kg(150, 28, 12, 31) == pytest.approx(bitter)


@pytest.mark.parametrize(("alpha", "utilisation"), [(5, 24), (10, 30), (15, 38)])
def test_bitterness_is_the_other_way_round_of_the_weighing(alpha, utilisation):
    kilograms = brentq(lambda kg: hops.bitterness_mg_per_l(kg, 120, alpha, utilisation) - 25, 0.01, 500)

    assert hops.hop_mass_kg(120, 25, alpha, utilisation) == pytest.approx(kilograms)


# Kinetics: alpha acid -> iso-alpha acid -> what it breaks down to


def integrated_pct(first, second, minutes):
    """Return the share of iso-alpha acid after a time, by integrating the two reactions."""

    def change(_, amounts):
        alpha, iso = amounts
        return [-first * alpha, first * alpha - second * iso]

    return 100 * solve_ivp(change, (0, minutes), [1.0, 0.0], rtol=1e-9, atol=1e-12).y[1, -1]


@pytest.mark.parametrize("minutes", [10, 30, 60, 90, 180])
def test_share_is_the_integral_of_the_printed_speeds_at_100_degrees(minutes):
    first, second = (CHECK_VALUES[name]["expected"] for name in ("6.2a", "6.2b"))

    assert isomerised_pct(100, minutes) == pytest.approx(integrated_pct(first, second, minutes), abs=0.5)


def test_first_speed_at_100_degrees_is_the_printed_one():
    figure = CHECK_VALUES["6.2a"]

    assert isomerised_pct(100, 1e-4) / 100 / 1e-4 == pytest.approx(figure["expected"], abs=figure["tolerance"])


def test_second_speed_at_100_degrees_is_the_printed_one():
    figure = CHECK_VALUES["6.2b"]
    first = isomerised_pct(100, 1e-4) / 100 / 1e-4

    second = brentq(lambda speed: integrated_pct(first, speed, 120) - isomerised_pct(100, 120), 1e-4, 0.011)

    assert second == pytest.approx(figure["expected"], abs=figure["tolerance"])


def test_leaving_the_breakdown_out_gives_53_for_48_percent_in_an_hour():
    first = CHECK_VALUES["6.2a"]["expected"]

    assert isomerised_pct(100, 60) == pytest.approx(48, abs=0.5)
    assert integrated_pct(first, 0, 60) == pytest.approx(53, abs=0.5)


# pint with its own definitions


@pytest.mark.parametrize("rate", [0.1, 1.0, 2.0])
def test_rate_by_the_barrel_is_that_of_pint(rate):
    units = pint.UnitRegistry()
    expected = units.Quantity(rate, "lb / beer_barrel").to("g / hectolitre").magnitude

    assert hops.rate_g_per_hl_from_barrels(rate) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize("rate", [50, 250, 600])
def test_addition_is_that_of_pint(rate):
    units = pint.UnitRegistry()
    expected = (units.Quantity(120, "hectolitre") * units.Quantity(rate, "g / hectolitre")).to("kg").magnitude

    assert hops.addition_mass_kg(120, rate) == pytest.approx(expected)


# Colour: absorbance grows with the length of the cell


@pytest.mark.parametrize("absorbance", [0.1, 0.4, 0.79])
def test_both_cells_give_the_same_colour_of_one_beer(absorbance):
    in_half_inch = 1.27 * absorbance

    assert colour.colour_srm(absorbance, 2, colour.CENTIMETRE) == pytest.approx(
        colour.colour_srm(in_half_inch, 2, colour.HALF_INCH)
    )


@pytest.mark.parametrize("absorbance", [0.1, 0.4, 0.79])
def test_both_scales_give_the_same_colour_of_one_beer(absorbance):
    ebc, srm = colour.colour_ebc(absorbance, 3), colour.colour_srm(absorbance, 3, colour.CENTIMETRE)

    assert colour.srm_from_ebc(ebc) == pytest.approx(srm)
    # EBC = 1.97 SRM is rounded, and the docstring says by how much.
    assert ebc / 1.97 / srm == pytest.approx(1 - 0.0008, abs=0.0001)


@pytest.mark.parametrize("fold", [2, 5, 10])
def test_diluting_leaves_colour_as_it_is(fold):
    assert colour.colour_ebc(0.7 / fold, fold) == pytest.approx(colour.colour_ebc(0.7, 1))
