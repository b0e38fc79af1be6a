"""Small words of the frame: scopes as text, figures by criticality, and the places of a prerequisite."""

import pytest

from competencies.standing.facts import Scope
from competencies.standing.framework import Pair
from competencies.vocabulary import Criticality
from tests.competencies.standing.plant import terms


@pytest.mark.parametrize(
    ("scope", "text"), [(Scope(), ""), (Scope("L1"), "L1"), (Scope("L1", "F1"), "L1/F1"), (Scope("", "F1"), "/F1")]
)
def test_a_scope_is_read_as_it_was_written(scope, text):
    assert str(scope) == text
    assert Scope.parse(text) == scope


@pytest.mark.parametrize(("criticality", "figure"), [("none", 30), ("food", 5), ("safety", 5), ("both", 5)])
def test_a_pair_has_a_figure_for_critical_tasks_and_one_for_others(criticality, figure):
    assert Pair(other=30, critical=5).of(Criticality(criticality)) == figure


def test_a_prerequisite_is_needed_at_every_place_named_and_else_where_the_rule_says():
    here, there = Scope("L1", "F1"), Scope("L1", "F2")

    asked = terms(prerequisites=("S-01", "S-02", "S-03"), prerequisite_places={"S-02": (here, there), "S-03": ()})

    assert asked.needs == (("S-01", None), ("S-02", here), ("S-02", there), ("S-03", None))
