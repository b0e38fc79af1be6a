"""Extract tables against the printed cubic fits, thermo and chemicals, over the whole range of the formulas."""

import pytest
from chemicals.refractivity import brix_to_RI
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density

from assessments.formulas import extract

SUCROSE = "57-50-1"
TENTHS = [tenth / 10 for tenth in range(201)]


def nbs_brix(gravity):
    """Return °Brix by the cubic fit to NBS Circular C440, as printed on liquisearch.com, Brix."""
    return 182.4601 * gravity**3 - 775.6821 * gravity**2 + 1262.7794 * gravity - 669.5622


def asbc_plato(gravity):
    """Return °P by the cubic fit to the ASBC table, as printed on the same page."""
    return 135.997 * gravity**3 - 630.272 * gravity**2 + 1111.14 * gravity - 616.868


@pytest.mark.parametrize("table", [nbs_brix, asbc_plato])
def test_gravity_is_within_2_in_the_fifth_place_of_the_tables(table):
    for plato in TENTHS:
        read_back = brentq(lambda gravity: table(gravity) - plato, 0.99, 1.1)  # noqa: B023 - used at once

        assert extract.gravity_from_plato(plato) == pytest.approx(read_back, abs=2e-5)


@pytest.mark.parametrize("gravity", [1.004, 1.02, 1.048, 1.06, 1.075, 1.083])
def test_plato_agrees_with_the_other_family_of_tables_and_with_its_inverse(gravity):
    plato = extract.plato_from_gravity(gravity)

    assert plato == pytest.approx(nbs_brix(gravity), abs=0.01)
    assert extract.gravity_from_plato(min(plato, 20.0)) == pytest.approx(gravity, abs=3e-5)


def test_density_is_within_5_hundredths_of_the_model_for_sucrose():
    for plato in TENTHS[1:]:
        sucrose = Laliberte_density(293.15, [plato / 100], [SUCROSE])

        assert extract.wort_density_kg_per_m3(plato) == pytest.approx(sucrose, abs=0.05)


@pytest.mark.parametrize("plato", [2.0, 8.0, 12.0, 17.5, 20.0])
def test_extract_in_a_hectolitre_is_the_share_of_the_mass_of_sucrose_solution(plato):
    hectolitre_kg = Laliberte_density(293.15, [plato / 100], [SUCROSE]) / 10

    assert extract.extract_kg_per_hl(plato) == pytest.approx(hectolitre_kg * plato / 100, rel=1e-4)


def test_pounds_in_a_barrel_are_within_3_in_a_thousand_of_the_mass_balance():
    for plato in TENTHS[1:]:
        balance_lb = extract.extract_kg_per_hl(plato) * 1.173478 / 0.45359237

        assert extract.extract_lb_per_barrel(plato) == pytest.approx(balance_lb, rel=0.003)


def test_refractive_index_is_within_2_in_the_fifth_place_of_the_icumsa_table():
    for plato in TENTHS:
        assert extract.refractive_index(plato) == pytest.approx(brix_to_RI(plato), abs=2e-5)
