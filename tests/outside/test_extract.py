"""Extract tables against the printed cubic fits and thermo; errors over the range: `wort_approximations`."""

import pytest
from scipy.optimize import brentq
from thermo.electrochem import Laliberte_density

from assessments.formulas import extract
from tests.outside.wort_approximations import SUCROSE, brix

TENTHS = [tenth / 10 for tenth in range(201)]


def asbc_plato(gravity):
    """Return °P by the cubic fit to the ASBC table, as printed on the same page."""
    return 135.997 * gravity**3 - 630.272 * gravity**2 + 1111.14 * gravity - 616.868


@pytest.mark.parametrize("table", [brix, asbc_plato])
def test_gravity_is_within_2_in_the_fifth_place_of_the_tables(table):
    for plato in TENTHS:
        read_back = brentq(lambda gravity: table(gravity) - plato, 0.99, 1.1)  # noqa: B023 - used at once

        assert extract.gravity_from_plato(plato) == pytest.approx(read_back, abs=2e-5)


@pytest.mark.parametrize("gravity", [1.004, 1.02, 1.048, 1.06, 1.075, 1.083])
def test_plato_agrees_with_the_other_family_of_tables_and_with_its_inverse(gravity):
    plato = extract.plato_from_gravity(gravity)

    assert plato == pytest.approx(brix(gravity), abs=0.01)
    assert extract.gravity_from_plato(min(plato, 20.0)) == pytest.approx(gravity, abs=3e-5)


@pytest.mark.parametrize("plato", [2.0, 8.0, 12.0, 17.5, 20.0])
def test_extract_in_a_hectolitre_is_the_share_of_the_mass_of_sucrose_solution(plato):
    hectolitre_kg = Laliberte_density(293.15, [plato / 100], [SUCROSE]) / 10

    assert extract.extract_kg_per_hl(plato) == pytest.approx(hectolitre_kg * plato / 100, rel=1e-4)
