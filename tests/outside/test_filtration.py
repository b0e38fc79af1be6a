"""Filtration against a published trial, the law of the cake integrated, and the recipes of formazin."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.stats import linregress

from assessments.formulas import cake, filter_run, filtration, turbidity
from tests.outside.published.filtration import TRIAL, TRIAL_LITRES, TRIAL_SECONDS

# Viscosity in Pa s, area in m2, pressure in Pa, solids in kg/m3; printed answers in m/kg and 1/m
VISCOSITY, AREA, PRESSURE, SOLIDS = 8.937e-4, 0.0439, 46200.0, 23.47
ALPHA, MEDIUM = 1.106e11, 6.40e10


def line():
    """Return slope in s/L2 and intercept in s/L of the published trial, by scipy."""
    fitted = linregress(TRIAL_LITRES, np.divide(TRIAL_SECONDS, TRIAL_LITRES))
    return fitted.slope, fitted.intercept


def test_resistances_are_those_printed_for_the_trial():
    slope, intercept = line()

    alpha = cake.cake_resistance_m_per_kg(slope, *TRIAL.values())
    medium = cake.medium_resistance_per_m(intercept, TRIAL["area"], TRIAL["pressure"], TRIAL["viscosity"])

    assert alpha == pytest.approx(ALPHA, rel=0.002)
    assert medium == pytest.approx(MEDIUM, rel=0.003)


@pytest.mark.parametrize(("litres", "seconds"), list(zip(TRIAL_LITRES, TRIAL_SECONDS, strict=True)))
def test_line_gives_back_the_measured_times(litres, seconds):
    assert cake.cake_time_s(litres, *line()) == pytest.approx(seconds, abs=0.5)


@pytest.mark.parametrize("litres", [0.5, 2.0, 3.0, 8.0])
def test_time_is_the_integral_of_the_law(litres):
    def seconds_per_m3(volume, _):
        return VISCOSITY / (AREA * PRESSURE) * (ALPHA * SOLIDS * volume / AREA + MEDIUM)

    integral = solve_ivp(seconds_per_m3, (0, litres / 1000), [0.0], rtol=1e-9, atol=1e-9).y[0, -1]
    slope = brentq(lambda a: cake.cake_resistance_m_per_kg(a, *TRIAL.values()) - ALPHA, 1, 100)
    intercept = brentq(
        lambda b: cake.medium_resistance_per_m(b, AREA, TRIAL["pressure"], TRIAL["viscosity"]) - MEDIUM, 1, 100
    )

    assert cake.cake_time_s(litres, slope, intercept) == pytest.approx(integral, rel=1e-6)


@pytest.mark.parametrize("strength", [60, 95.8, 150, 250])
def test_slurry_holds_its_powder_and_its_water(strength):
    """A litre of slurry is powder at 2.3 kg/L and water; how much of each gives the strength wanted?"""
    powder = brentq(lambda kg: 1000 * kg / (1.0 + kg / 2.3) - strength, 0, 1)

    assert filter_run.slurry_strength_g_per_l(1000 * powder, 1000) == pytest.approx(strength)


def test_density_of_the_powder_matters_as_little_as_is_said():
    powder = brentq(lambda kg: filter_run.slurry_strength_g_per_l(kg, 1000) - 150, 1, 400)

    assert 1000 * powder / (1000 + powder / 2.2) / 150 == pytest.approx(1 - 0.003, abs=0.0002)


@pytest.mark.parametrize(("flow", "dose", "slurry"), [(60, 50, 200), (180, 105, 130), (300, 160, 60)])
def test_pump_gives_the_dose_to_every_hectolitre(flow, dose, slurry):
    rate = brentq(lambda litres: litres * slurry / flow - dose, 0, 2000)

    assert filter_run.dosing_rate_l_per_h(flow, dose, slurry) == pytest.approx(rate)


def test_rise_and_run_follow_a_straight_line():
    hours = np.linspace(0, 7, 15)
    inlet = 1.2 + 0.2 * hours
    fitted = linregress(hours, inlet)

    rise = filter_run.pressure_rise_bar_per_h(inlet[0], inlet[-1], 420)

    assert rise == pytest.approx(fitted.slope)
    by_volume = linregress(120 * hours, inlet).slope
    assert filter_run.pressure_rise_bar_per_100hl(rise, 120) == pytest.approx(100 * by_volume)
    assert filter_run.run_left_h(5.0, inlet[-1], rise) == pytest.approx(
        (5.0 - fitted.intercept) / fitted.slope - hours[-1]
    )


def test_coat_is_as_thick_as_its_volume_over_its_area():
    volume = 40 * 0.8 / 300

    assert filtration.coat_thickness_mm(800, 300) == pytest.approx(1000 * volume / 40)
    assert filtration.two_coats_mass_kg(40, 500, 300) == pytest.approx(300 * volume)


def test_formazin_recipes_give_the_factor_of_the_asbc_unit():
    # ISO 7027: 1 g of hydrazine sulphate in 100 mL, 5 mL of it in 100 mL, is 400 FNU. AOAC: 0.0725 g in a litre is
    # 1000 FTU.
    mg_per_fnu = 1000 * 1 / 100 * 5 / 100 * 1000 / 400
    mg_per_ftu = 72.5 / 1000

    ftu = turbidity.asbc_ftu_from_ebc(1.0) / turbidity.ntu_from_ebc(1.0)

    assert ftu == pytest.approx(mg_per_fnu / mg_per_ftu, rel=0.001)
