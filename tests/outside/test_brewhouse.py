"""Mashing and yield against IAPWS-95 (CoolProp) and against balances solved numerically (scipy)."""

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pytest
from scipy.optimize import brentq

from assessments.calculations import calculation
from assessments.formulas import brewhouse, malt, water, yields
from assessments.generation import Problem


def of_water(quantity, temp_c):
    return coolprop.PropsSI(quantity, "T", temp_c + 273.15, "P", 101325, "Water")


@pytest.mark.parametrize("mash", [62, 65, 68])
def test_strike_temperature_balances_the_enthalpy_of_real_water(mash):
    strike = brewhouse.strike_water_temp_c(mash, 18, 3.0)

    given_up = of_water("H", strike) - of_water("H", mash)
    taken_up = 0.41 * of_water("C", mash) * (mash - 18)
    assert 3.0 * given_up == pytest.approx(taken_up, rel=0.005)


@pytest.mark.parametrize(("liquor", "ratio"), [(60, 2.5), (72, 3.0), (80, 4.0)])
def test_mash_temperature_balances_the_enthalpy_of_real_water(liquor, ratio):
    def gained(mash):
        given_up = ratio * (of_water("H", liquor) - of_water("H", mash))
        return given_up - 0.40 * of_water("C", mash) * (mash - 15)

    assert brewhouse.mash_temp_c(liquor, 15, ratio, 0.40, 0.0) == pytest.approx(brentq(gained, 20, liquor), abs=0.05)


@pytest.mark.parametrize("mash", [55.0, 63.0, 72.0])
def test_mash_temperature_undoes_the_strike_temperature(mash):
    strike = brewhouse.strike_water_temp_c(mash, 18, 3.2)
    for_this_malt = brewhouse.mashing_water_temp_c(mash, 18, 3.2, 0.39, 2.3)

    assert brewhouse.mash_temp_c(strike, 18, 3.2, 0.41, 0.0) == pytest.approx(mash)
    assert brewhouse.mash_temp_c(for_this_malt, 18, 3.2, 0.39, 2.3) == pytest.approx(mash)


def test_conversion_solves_the_balance_of_extract():
    extract = brentq(lambda kg: 100 * kg / (kg + 3.0) - 20.0, 0, 1)

    assert brewhouse.conversion_pct(3.0, 20.0, 0.8) == pytest.approx(100 * extract / 0.8)


def test_hot_water_is_within_3_in_ten_thousand_of_iapws():
    for temp_c in range(1, 100):
        assert water.water_density_kg_per_m3(temp_c) == pytest.approx(of_water("D", temp_c), rel=0.0003)


@pytest.mark.parametrize("end", [60, 72, 85, 99])
@pytest.mark.parametrize("start", [5, 15, 25])
def test_heat_is_within_half_a_percent_of_iapws(start, end):
    joules = 5000 * (of_water("H", end) - of_water("H", start))

    assert water.heating_kwh(5000, start, end) == pytest.approx(joules / 3.6e6, rel=0.005)


def test_hot_wort_factor_is_the_shrinkage_of_water():
    cold = of_water("D", 99.9) / of_water("D", 20)

    assert yields.brewhouse_yield_pct(100, 12, 1.05, 1260) == pytest.approx(
        100 * cold * 100 * 1.05 * 12 / 1260, rel=0.001
    )


@pytest.mark.parametrize(("extract", "moisture"), [(70.0, 3.0), (75.7, 4.5), (82.0, 8.0)])
def test_laboratory_mash_solves_the_balance_of_its_water(extract, moisture):
    def wort_p(grams):
        return 100 * grams / (grams + moisture + 800)

    found = brentq(lambda grams: wort_p(grams) - wort_p(extract), 50, 100)
    assert malt.congress_extract_pct(wort_p(extract), moisture) == pytest.approx(found)
    assert malt.dry_extract_pct(extract, moisture) == pytest.approx(100 * extract / (100 - moisture))


@pytest.mark.parametrize("gravity", [1.04, 1.056, 1.075])
def test_wort_undoes_the_litre_degrees(gravity):
    litre_degrees = malt.hot_water_extract_l_deg_per_kg(7000.0, gravity, 1500.0)

    assert malt.wort_volume_l(litre_degrees, 1500.0, gravity) == pytest.approx(7000.0)


@pytest.mark.parametrize("efficiency", [86.0, 92.0, 97.5])
def test_grist_gives_the_extract_that_it_was_worked_out_for(efficiency):
    grist = brentq(
        lambda kg: yields.extract_efficiency_pct(yields.extract_won_kg(95, 12, 1.0484), kg, 78.0) - efficiency,
        500,
        5000,
    )

    assert yields.grist_mass_kg(95, 12, 1.0484, efficiency, 78.0) == pytest.approx(grist)


def test_the_printed_mistake_of_a_maltsters_note_is_a_slip_by_name():
    # "Working out a grist using EBC extract" prints 375.9 kg for this brew: hL times °P taken as kilograms.
    made = Problem(
        calculation("C21-grist"),
        {"wort": 25.0, "extract": 11.5, "gravity": 1.0463, "efficiency": 98.0, "potential": 78.0},
    )
    slip = next(slip for slip in made.calculation.slips if slip.name == "density left out")

    assert made.slip_value(slip) == pytest.approx(375.9, abs=0.3)
