"""Packaging, fill and seams against independent libraries."""

import math

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pint
import pytest
from scipy import integrate, stats
from scipy.optimize import brentq

from assessments.formulas import (
    effectiveness,
    fill,
    line,
    pasteurisation,
    reference_test,
    sampling,
    seams,
)

LIBRARY = pint.UnitRegistry()


# Water by IAPWS-95, from CoolProp


def test_fill_volume_of_water_matches_its_density():
    density = coolprop.PropsSI("D", "T", 293.15, "P", 101325, "Water") / 1000

    assert fill.fill_volume_ml(500.0 + 330.0 * density, 500.0, density) == pytest.approx(330.0)
    assert fill.fill_volume_ml(829.4, 500.0, density) == pytest.approx(330.0, abs=0.05)


@pytest.mark.parametrize("temp_c", [5, 15, 20, 25])
@pytest.mark.parametrize("volume_ml", [50.0, 330.0, 750.0])
def test_water_weighed_in_air_has_its_true_volume(temp_c, volume_ml):
    density = coolprop.PropsSI("D", "T", temp_c + 273.15, "P", 101325, "Water") / 1000
    # Forces in balance: water less the air it displaces, against weights of 8.0 g/mL less theirs.
    reading = brentq(lambda mass: mass - 0.0012 * mass / 8.0 - (density - 0.0012) * volume_ml, 0, 2 * volume_ml)

    assert reference_test.volume_in_air_ml(reading, density) == pytest.approx(volume_ml, rel=1e-9)


def test_mass_over_density_is_low_by_what_the_sheet_says():
    def missing_pct(density):
        return 100 * (1 - 330.0 / density / reference_test.volume_in_air_ml(330.0, density))

    assert missing_pct(1.5) == pytest.approx(0.065, abs=0.001)
    assert missing_pct(1.008) == pytest.approx(0.104, abs=0.001)
    assert missing_pct(0.7) == pytest.approx(0.156, abs=0.001)


# pint


@pytest.mark.parametrize(("rate", "fill_ml"), [(12000, 750), (23000, 500), (36000, 330), (60000, 250)])
def test_line_volume_and_pace_are_those_of_pint(rate, fill_ml):
    volume = LIBRARY.Quantity(rate * fill_ml, "millilitre / hour")

    assert line.line_volume_hl_per_h(rate, fill_ml) == pytest.approx(volume.to("hectolitre / hour").magnitude)
    assert line.units_per_min(rate) == pytest.approx(LIBRARY.Quantity(rate, "1 / hour").to("1 / minute").magnitude)
    emptied = (LIBRARY.Quantity(240, "hectolitre") / volume).to("minute").magnitude
    assert line.emptying_min(240, line.line_volume_hl_per_h(rate, fill_ml)) == pytest.approx(emptied)


# The closed form of ISO 22400-2: production time and quantity cancel


@pytest.mark.parametrize(("planned", "running", "item", "produced", "rejected"), [
    (480, 420, 60, 400, 20), (420, 373, 1, 19271, 423), (450, 400, 0.15, 140000, 2500),
])  # fmt: skip
def test_overall_effectiveness_is_the_planned_time_of_good_items(planned, running, item, produced, rejected):
    shares = (
        effectiveness.availability_pct(planned, running),
        effectiveness.effectiveness_pct(item, produced, running),
        effectiveness.quality_pct(produced, rejected),
    )

    expected = 100 * item * (produced - rejected) / (60 * planned)
    assert effectiveness.overall_effectiveness_pct(*shares) == pytest.approx(expected)


# scipy: Student's t


@pytest.mark.parametrize("plan", sampling.STUDENT)
def test_factor_is_that_of_the_distribution(plan):
    drawn, _ = sampling.STUDENT[plan]
    level = 0.975 if plan.startswith("United States") else 0.995

    expected = stats.t.ppf(level, drawn - 1) / math.sqrt(drawn)
    assert sampling.student_factor(plan) == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize(("batch", "drawn"), [(100, 30), (500, 30), (501, 50), (10_000, 50)])
def test_printed_factor_of_the_mean_is_the_distribution_s_to_three_places(batch, drawn):
    exact = stats.t.ppf(0.995, drawn - 1) / math.sqrt(drawn)

    assert sampling.mean_factor(batch) == pytest.approx(exact, abs=0.0005)


@pytest.mark.parametrize("batch", [300, 2000, 8000])
def test_double_plan_nearly_always_passes_a_batch_with_one_defective_in_a_hundred(batch):
    # Packers are held to 2.5 % defectives (from memory): at 1 % the plan must hardly ever refuse.
    plan = sampling.double_plan(batch)
    first = stats.binom(plan.drawn, 0.01)
    passes = first.cdf(plan.accepted) + sum(
        first.pmf(found) * stats.binom(plan.drawn, 0.01).cdf(sampling.second_sample_count(batch, found))
        for found in range(plan.accepted + 1, plan.refused)
    )

    assert passes > 0.99


# scipy: pasteurisation as an integral, and the z value


def test_pasteurisation_units_have_the_published_z_value():
    ten_degrees = brentq(lambda z: pasteurisation.pasteurisation_units_pu(1, 60 + z) - 10, 1, 14)

    assert ten_degrees == pytest.approx(6.95, abs=0.01)  # Del Vecchio et al. 1951: z = 6.95 degC


@pytest.mark.parametrize("zones", [(5, 55, 10, 61, 5, 56), (3, 52, 12, 62.5, 8, 58), (4, 57.5, 8, 60, 6, 54)])
def test_tunnel_units_are_the_integral_over_the_profile(zones):
    heating, warm, holding, hot, cooling, cool = zones

    def rate(minute):
        temperature = warm if minute < heating else hot if minute < heating + holding else cool
        return 10 ** ((temperature - 60) * math.log10(1.393))

    ends = [heating, heating + holding]
    integral, _ = integrate.quad(rate, 0, heating + holding + cooling, points=ends)
    assert pasteurisation.tunnel_units_pu(*zones) == pytest.approx(integral, rel=1e-6)


@pytest.mark.parametrize("temp_c", [52, 60, 62, 66, 72, 75])
def test_holding_time_gives_back_its_units(temp_c):
    minutes = pasteurisation.holding_time_min(15, temp_c)

    assert pasteurisation.flash_units_pu(60 * minutes, temp_c) == pytest.approx(15)


@pytest.mark.parametrize(("temp_c", "longer_pct"), [(60, 0.0), (62, 0.5), (72, 3.0), (75, 4.0)])
def test_round_z_value_asks_for_as_much_more_time_as_the_sheet_says(temp_c, longer_pct):
    with_z_of_7 = 15 / 10 ** ((temp_c - 60) / 7)

    ratio = with_z_of_7 / pasteurisation.holding_time_min(15, temp_c)
    assert 100 * (ratio - 1) == pytest.approx(longer_pct, abs=0.2)


# The other version of the seam overlap in percent, with 1.1 on the plates


def test_overlap_with_the_plate_factor_is_about_three_points_more():
    end, body = 1.1 * 0.22, 1.1 * 0.16
    with_factor = seams.seam_overlap_pct(seams.seam_overlap_mm(1.7, 1.65, end, 2.48), 2.48, end, body)

    assert with_factor == pytest.approx(61.1, abs=0.05)
    assert with_factor - seams.seam_overlap_pct(1.09, 2.48, 0.22, 0.16) == pytest.approx(3, abs=0.3)
