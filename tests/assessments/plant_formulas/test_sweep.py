"""The whole range is tried, its corners first."""

from dataclasses import replace

import pytest

from assessments.plant_formulas.sweep import DRAWS, swept
from tests.assessments.plant_formulas.told import EXTRACT, INVERTED, VOLUME, WANTED, WATER, WHOLE_TANK, blend


def findings(**changes):
    return [str(found) for found in swept(blend(**changes)).findings]


def test_sound_calculation_passes_every_corner_and_draw():
    result = swept(blend())

    assert result.findings == ()
    assert result.tried == 2**3 + DRAWS


def test_slip_that_equals_the_answer_is_found_with_where():
    [said] = findings(slips=(INVERTED, replace(WHOLE_TANK, formula="V * E / E_s - V")))

    assert "“whole tank given” gives no number, or one that passes for the right answer" in said
    assert "V = 200 hL, E = 14.0 °P, E_s = 11.0 °P" in said


def test_slip_that_equals_the_answer_in_one_corner_only_is_found():
    # Nothing to add where the beer is for sale as it is: then the inverted ratio gives the same.
    [said] = findings(givens=(VOLUME, replace(EXTRACT, low=12.5, high=16.5), replace(WANTED, low=12.5, high=13.5)))[:1]

    assert "E = 12.5 °P, E_s = 12.5 °P" in said


def test_two_slips_that_come_to_the_same_are_found():
    twice = replace(INVERTED, name="shares swapped", formula="V * (E - E_s) / E")

    [said] = findings(slips=(INVERTED, twice, WHOLE_TANK))

    assert "“ratio inverted” and “shares swapped” come to the same" in said


@pytest.mark.parametrize(
    "formula", ["V * E / (E_s - E_s)", "V * 10^(E / 1 [%] - E_s / 100 [%])", "V * sqrt(1 - E / E_s)"]
)
def test_formula_without_an_answer_is_found(formula):
    assert any("there is no answer" in said for said in findings(steps=(replace(WATER, formula=formula),)))


def test_whole_number_that_is_none_is_found():
    steps = (replace(WATER, formula="V * E / E_s / 1 [hL]", unit=""),)
    slips = (replace(INVERTED, formula="V"), replace(WHOLE_TANK, formula="3 * V"))

    assert any("is no whole number" in said for said in findings(steps=steps, slips=slips))
