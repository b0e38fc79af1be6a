"""Planted answers: of a hundred slips 99 are named, and no right answer is marked wrong, for every calculation.

The same over 10,000 problems of each: `manage.py bench marking --problems 10000`.
"""

import pytest

from assessments.calculations import calculation, calculations
from assessments.generation import problem
from assessments.marking import Mark
from assessments.vocabulary import Verdict
from tests.assessments.planted import NAMED_SHARE, right_ways, tally_of

PROBLEMS = 300


@pytest.mark.parametrize("code", sorted(calculations()))
def test_slips_are_named_and_right_answers_are_right(code):
    tally = tally_of(calculation(code), range(PROBLEMS))

    assert tally.wrong == 0, tally.misses
    assert tally.named >= NAMED_SHARE, tally.misses
    assert tally.counts["problems"] == PROBLEMS
    assert tally.counts["slips"] >= PROBLEMS


def test_right_answers_are_typed_in_many_ways():
    ways = right_ways(problem("C09-rate", 1))

    assert len(set(ways.values())) >= 10


def test_a_miss_is_counted_and_kept(monkeypatch):
    monkeypatch.setattr("tests.assessments.planted.mark", lambda made, typed: Mark(Verdict.OTHER))

    tally = tally_of(calculation("C03-strike"), range(2))

    assert tally.named == 0
    assert tally.wrong == tally.counts["right"] > 0
    assert ("right", "as shown") in tally.misses
