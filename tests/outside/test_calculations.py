"""The worked calculations against published figures and independent libraries."""

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pytest
from scipy.optimize import brentq

from assessments.calculations import calculation, calculations
from assessments.formulas import brewhouse, fermentation
from assessments.generation import Problem
from tests.outside.published import PUBLISHED
from tests.outside.syllabus_examples import SYLLABUS_EXAMPLES

ROWS = [(code, *row) for code, rows in PUBLISHED.items() for row in rows]


def agrees(answer, expected, tolerance):
    if isinstance(expected, float | int):
        return abs(answer - expected) <= tolerance
    return answer == expected


@pytest.mark.parametrize(("code", "givens", "expected", "tolerance", "source"), ROWS)
def test_calculation_gives_the_published_figure(code, givens, expected, tolerance, source):
    answer = Problem(calculation(code), givens).answer

    assert agrees(answer, expected, tolerance), source


@pytest.mark.parametrize(("code", "givens", "expected", "tolerance"), SYLLABUS_EXAMPLES)
def test_calculation_gives_the_example_of_the_syllabus(code, givens, expected, tolerance):
    assert agrees(Problem(calculation(code), givens).answer, expected, tolerance)


def test_every_calculation_has_a_published_figure():
    assert set(PUBLISHED) == set(calculations())
    assert all(source for *_, source in ROWS)


# CoolProp (Span and Wagner; IAPWS-95)


@pytest.mark.parametrize("mash", [62, 65, 68])
def test_strike_temperature_balances_the_enthalpy_of_real_water(mash):
    strike = brewhouse.strike_water_temp_c(mash, 18, 3.0)

    given_up = coolprop.PropsSI("H", "T", strike + 273.15, "P", 101325, "Water") - coolprop.PropsSI(
        "H", "T", mash + 273.15, "P", 101325, "Water"
    )
    heat_of_water = coolprop.PropsSI("C", "T", mash + 273.15, "P", 101325, "Water")
    taken_up = 0.41 * heat_of_water * (mash - 18)
    assert 3.0 * given_up == pytest.approx(taken_up, rel=0.005)


# The printed cubic fit to NBS Circular C440


@pytest.mark.parametrize("gravity", [1.004, 1.02, 1.048, 1.075])
def test_extract_agrees_with_the_other_family_of_tables(gravity):
    brix = 182.4601 * gravity**3 - 775.6821 * gravity**2 + 1262.7794 * gravity - 669.5622

    assert fermentation.plato_from_gravity(gravity) == pytest.approx(brix, abs=0.01)


# OIML R 22 (1973), density of ethanol and water at 20 degC, coefficients A1 to A12

OIML = [
    998.2012300, -192.9769495, 389.1238958, -1668.103923, 13522.15441, -88292.78388,
    306287.4042, -613838.1234, 747017.2998, -547846.1354, 223446.0334, -39032.85426,
]  # fmt: skip


def density(share):
    return sum(factor * share**power for power, factor in enumerate(OIML))


def by_volume(share):
    return 100 * share * density(share) / density(1.0)


def by_mass(percent_by_volume):
    return brentq(lambda share: by_volume(share) - percent_by_volume, 0, 1)


@pytest.mark.parametrize(("strength", "target"), [(6.0, 4.8), (7.5, 5.0)])
def test_blending_water_is_within_half_a_percent_of_the_mass_balance(strength, target):
    strong, weak = by_mass(strength), by_mass(target)
    mass = 100 * density(strong)
    water = mass * (strong / weak - 1) / density(0.0)

    assert fermentation.dilution_water_hl(100.0, strength, target) == pytest.approx(water, rel=0.005)


@pytest.mark.parametrize(("original", "final"), [(1.040, 1.008), (1.048, 1.010), (1.060, 1.014)])
def test_alcohol_is_within_a_quarter_of_a_percent_of_balling_and_oiml(original, final):
    original_p, apparent_p = (fermentation.plato_from_gravity(gravity) for gravity in (original, final))
    real_p = fermentation.real_extract_p(original_p, apparent_p)
    by_weight = (original_p - real_p) / (2.0665 - 0.010665 * original_p)
    expected = by_weight * final * density(0.0) / density(1.0)

    assert fermentation.alcohol_pct_vol(original, final) == pytest.approx(expected, abs=0.25)


# scipy: the balances solved numerically, without the closed form


def test_conversion_solves_the_balance_of_extract():
    extract = brentq(lambda kg: 100 * kg / (kg + 3.0) - 20.0, 0, 1)

    assert brewhouse.conversion_pct(3.0, 20.0, 0.8) == pytest.approx(100 * extract / 0.8)
