"""Alcohol and attenuation against OIML R 22, Perry's table, CoolProp, and balances solved numerically (scipy)."""

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pytest
from scipy.optimize import brentq

from assessments.formulas import alcohol, fermentation, mixture
from tests.outside.wort_approximations import by_mass, spirit_density

# Perry's Chemical Engineers' Handbook, ethanol and water at 20 degC, g/mL by % w/w (from memory).
PERRY = [
    (10, 0.98187), (20, 0.96864), (30, 0.95382), (40, 0.93518), (50, 0.91384),
    (60, 0.89113), (70, 0.86766), (80, 0.84344), (90, 0.81797), (100, 0.78934),
]  # fmt: skip
# Published quotients of real extract, as told by Cutaia, Reid and Speers (2009): theirs, and Pawlowski's.
QUOTIENTS = [lambda original: 0.814 + 0.00086 * original, lambda original: 0.820 - 0.00066 * original]
EXTRACTS = [(original, apparent) for original in range(8, 19, 2) for apparent in (0.5, 1.5, 2.5, 4.0, 6.0)]


@pytest.mark.parametrize(("by_weight", "grams_per_ml"), PERRY)
def test_mixture_weighs_what_perrys_table_says(by_weight, grams_per_ml):
    assert mixture.mixture_density_kg_per_m3(by_weight) == pytest.approx(1000 * grams_per_ml, abs=0.11)


@pytest.mark.parametrize("strength", [0.5, 2.0, 5.0, 8.0, 10.0, 40.0, 60.0, 96.0])
def test_strength_by_weight_is_that_of_scipy(strength):
    assert mixture.mixture_by_weight_pct(strength) == pytest.approx(100 * by_mass(strength), abs=2e-4)
    assert mixture.spirit_density_kg_per_m3(strength) == pytest.approx(spirit_density(by_mass(strength)), abs=1e-3)


@pytest.mark.parametrize("strength", [0.0, 2.0, 5.0, 8.0, 10.0])
def test_mixture_is_within_a_kilogram_of_the_helmholtz_model(strength):
    share = by_mass(strength)
    ethanol, water = share / 46.069, (1 - share) / 18.0153
    moles = ethanol / (ethanol + water)
    real = coolprop.PropsSI("D", "T", 293.15, "P", 101325, f"HEOS::Ethanol[{moles}]&Water[{1 - moles}]")

    assert mixture.spirit_density_kg_per_m3(strength) == pytest.approx(real, abs=1.0)


@pytest.mark.parametrize("strength", [3.0, 5.0, 12.0, 40.0])
def test_by_weight_and_by_volume_are_those_of_oiml_for_ethanol_and_water(strength):
    share = by_mass(strength)
    gravity = spirit_density(share) / spirit_density(0.0)

    assert alcohol.by_weight_from_volume_pct(strength, spirit_density(share)) == pytest.approx(100 * share, rel=1e-5)
    assert alcohol.alcohol_by_volume_pct(100 * share, gravity) == pytest.approx(strength, rel=1e-4)
    assert alcohol.ethanol_mass_g(1000.0, strength) == pytest.approx(share * spirit_density(share), rel=0.0005)


@pytest.mark.parametrize(("original", "apparent"), EXTRACTS)
def test_alcohol_and_original_extract_close_the_balance_of_fermentation(original, apparent):
    real = fermentation.real_extract_p(original, apparent)

    # 100 g of wort with OE g of extract become 100 - 0.9565 a - 0.11 a g of beer with a g of alcohol.
    grams = brentq(lambda a: (original - 2.0665 * a) / (100 - 1.0665 * a) - real / 100, 0, 15)
    by_weight = 100 * grams / (100 - 1.0665 * grams)
    assert alcohol.alcohol_by_weight_pct(original, real) == pytest.approx(by_weight, rel=0.002)
    assert alcohol.original_extract_p(by_weight, real) == pytest.approx(original, rel=1e-9)


@pytest.mark.parametrize("quotient", QUOTIENTS)
@pytest.mark.parametrize("original", [10.0, 12.0, 14.0])
def test_published_quotients_differ_by_no_more_than_stated(quotient, original):
    other = original - quotient(original) * (original - 2.5)

    assert fermentation.real_extract_p(original, 2.5) == pytest.approx(other, abs=0.12)


@pytest.mark.parametrize(("original", "apparent"), [(10, 1.8), (10, 2.6), (12, 2.5), (14, 3.0), (16, 2.8), (16, 3.6)])
def test_correction_adds_one_to_two_points(original, apparent):
    real = fermentation.real_extract_p(original, apparent)
    corrected = fermentation.corrected_attenuation_pct(original, real)

    # Savel et al., Kvasny Prumysl 66 (2020), abstract: the correction adds one to two points.
    assert 1 < corrected - fermentation.real_attenuation_pct(original, real) < 2


def test_gas_is_what_the_balance_leaves_for_it():
    # A hundred hectolitres at 1.010 with 4 % of alcohol: 2.0665 g of extract less 1 g of alcohol and 0.11 g of yeast.
    alcohol_kg = 100 * 100 * 0.9982 * 1.010 * 0.04

    assert alcohol.fermentation_gas_kg(100.0, 4.0, 1.010) == pytest.approx(alcohol_kg * (2.0665 - 1 - 0.11), rel=1e-9)
