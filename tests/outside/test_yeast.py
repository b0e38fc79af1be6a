"""Counting and pitching against the geometry of the chamber (pint) and the binomial count (scipy)."""

import pint
import pytest
from scipy.optimize import brentq
from scipy.stats import binom

from assessments.formulas import yeast

LIBRARY = pint.UnitRegistry()


@pytest.mark.parametrize("side_mm", [1.0, 0.2, 0.05])
@pytest.mark.parametrize("dilution", [1, 10, 200])
def test_count_is_the_cells_over_the_volume_of_the_squares(side_mm, dilution):
    square = LIBRARY.Quantity(side_mm, "mm") ** 2 * LIBRARY.Quantity(0.1, "mm")
    million_per_ml = (240 * dilution / (5 * square)).to("1/mL").magnitude / 1e6

    counted = yeast.counted_cells_million_per_ml(240, 5, side_mm**2, dilution)
    assert counted == pytest.approx(million_per_ml)


@pytest.mark.parametrize("alive", [0.8, 0.92, 0.99])
def test_viability_finds_the_share_from_which_the_count_is_drawn(alive):
    # The mean of the count of live cells among 250, if each is alive with that chance.
    assert yeast.viability_pct(binom(250, alive).mean(), 250) == pytest.approx(100 * alive)
    assert yeast.live_cells_million_per_ml(1200, binom(250, 1 - alive).mean(), 250) == pytest.approx(1200 * alive)


@pytest.mark.parametrize(("extract", "rate"), [(10.0, 0.5), (12.0, 1.0), (16.0, 1.5)])
def test_slurry_brings_the_cells_that_the_wort_needs(extract, rate):
    wanted = yeast.pitch_cells_billion(80.0, extract, rate)
    litres = brentq(lambda volume: volume * 1000 * 1200e6 * 0.9 / 1e9 - wanted, 0, 1000)

    assert yeast.slurry_volume_l(80.0, extract, rate, 1200.0, 0.9) == pytest.approx(litres)
