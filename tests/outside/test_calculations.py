"""The worked calculations against published figures and the examples of the syllabus."""

import pytest

from assessments.calculations import calculation, calculations
from assessments.generation import Problem
from tests.outside.published import PUBLISHED
from tests.outside.syllabus_examples import SYLLABUS_EXAMPLES

ROWS = [(code, *row) for code, rows in PUBLISHED.items() for row in rows]


def agrees(answer, expected, tolerance):
    if isinstance(expected, float | int):
        return abs(answer - expected) <= tolerance
    return answer == expected


@pytest.mark.parametrize(("code", "givens", "expected", "tolerance", "source"), ROWS)
def test_calculation_gives_the_published_figure(code, givens, expected, tolerance, source):
    answer = Problem(calculation(code), givens).answer

    assert agrees(answer, expected, tolerance), source


@pytest.mark.parametrize(("code", "givens", "expected", "tolerance"), SYLLABUS_EXAMPLES)
def test_calculation_gives_the_example_of_the_syllabus(code, givens, expected, tolerance):
    assert agrees(Problem(calculation(code), givens).answer, expected, tolerance)


def test_every_calculation_has_a_published_figure():
    assert set(PUBLISHED) == set(calculations())
    assert all(source for *_, source in ROWS)
