"""Packaging, fill and seams against independent libraries."""

import CoolProp.CoolProp as coolprop  # noqa: N813 - it is no class
import pytest
from scipy.optimize import brentq

from assessments.formulas import fill, pasteurisation


def test_fill_volume_of_water_matches_its_density():
    density = coolprop.PropsSI("D", "T", 293.15, "P", 101325, "Water") / 1000

    assert fill.fill_volume_ml(500.0 + 330.0 * density, 500.0, density) == pytest.approx(330.0)
    assert fill.fill_volume_ml(829.4, 500.0, density) == pytest.approx(330.0, abs=0.05)


def test_pasteurisation_units_have_the_published_z_value():
    ten_degrees = brentq(lambda z: pasteurisation.pasteurisation_units_pu(1, 60 + z) - 10, 1, 14)

    assert ten_degrees == pytest.approx(6.95, abs=0.01)  # Del Vecchio et al. 1951: z = 6.95 degC
