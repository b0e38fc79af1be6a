"""A mark in words: kind, and with what to do about it."""

import pytest

from assessments.calculations import calculation
from assessments.generation import Problem, problem
from assessments.marking import mark
from assessments.views.shown import told

STRIKE = ("C03-strike", {"mash": 65.0, "grist": 18.0, "ratio": 3.0})
RATE = ("C09-rate", {"good": 54000.0, "hours": 2.0, "minutes": 24.0})
PSI = ("C01-pressure", {"pressure": 12.5})
IODINE = ("C02-iodine", {"sample": "hot", "drop": "clear", "colour": "red to violet"})
CO2 = ("C05-pressure", {"temperature": 4.0, "pressure": 1.0, "atmosphere": 1.01325})

SAID = [
    (STRIKE, "71.4 °C", "Right", []),
    (STRIKE, "71.4", "the unit is missing", ["Here it is °C."]),
    (STRIKE, "71.4 kg", "not in the unit asked for", ["The unit asked for is °C."]),
    (PSI, "86.2 kPa", "not in the unit asked for", ["The unit asked for is bar."]),
    (PSI, "181.3 kPa", "a usual slip", ["multiplied instead of divided", "The unit asked for is bar."]),
    (STRIKE, "71 °C", "rounded too far", ["gives 1 decimal place.", "Round once, at the end."]),
    (PSI, "0.9 bar", "rounded too far", ["gives 2 decimal places."]),
    (RATE, "2e4 units/h", "rounded too far", ["gives the whole number."]),
    (STRIKE, "714 °C", "a power of ten", ["10¹ times"]),
    (CO2, "0.274 g/L", "two usual slips", ["took gauge for absolute", "left the factor 10 out"]),
    (IODINE, "converted", "a usual slip", ["red converted"]),
    (STRIKE, "75 °C", "Not yet.", ["Compare your working"]),
]


@pytest.mark.parametrize(
    ("made", "typed", "title", "points"), SAID, ids=[f"{made[0]}: {typed}" for made, typed, *_ in SAID]
)
def test_mark_is_told_in_words(made, typed, title, points):
    code, givens = made
    asked = Problem(calculation(code), givens)

    said = told(asked, mark(asked, typed))

    assert title in said.title
    for point in points:
        assert point.casefold() in " ".join(said.points).casefold()


def test_every_slip_that_can_be_behind_an_answer_is_told():
    # A day short can be the leap day, or counting from 0.
    asked = next(made for seed in range(200) if len(others(made := problem("C14-day_number", seed))) > 0)

    said = told(asked, others_mark(asked))

    assert "The same answer can come of" in said.points[-1]


def others_mark(asked):
    """Return the mark of the first slip's answer."""
    return mark(asked, asked.calculation.answer.show(asked.slip_value(asked.slips[0])))


def others(asked):
    """Return what else can be behind the first slip's answer."""
    return others_mark(asked).others
