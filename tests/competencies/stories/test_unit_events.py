"""How a story tells of reports and moderations: which decision is meant, and what is a fault."""

import pytest

from competencies.stories.asking import answers
from competencies.stories.player import play
from competencies.stories.story_file import StoryFileError, read_story

UNITS = """
story: a unit in two versions
tasks: [{code: T1, validity_months: 36, runs: 0}]
units:
  - {code: U1, version: 1, credits: 4, group: K, last_date: 2025-06-30, outcomes: {1: [T1]}}
  - {code: U1, version: 2, credits: 5, group: K, first_date: 2025-06-01, outcomes: {1: [T1]}}
pathways: [{code: Q1, total: 5}]
holds: [{person: ana, task: T1, assessed: 2025-02-03}]
"""


@pytest.mark.parametrize("kind", ["unit_reported", "moderation"])
def test_what_names_no_decision_is_a_fault(kind):
    with pytest.raises(StoryFileError, match="this is missing"):
        read_story(f"{UNITS}events: [{{kind: {kind}, person: ana, on: 2025-07-01}}]", "s.yaml")


@pytest.mark.django_db
@pytest.mark.parametrize(("on", "credits_"), [("2025-05-31", 4), ("2025-06-01", 5), ("2025-07-01", 5)])
def test_a_decision_without_a_version_is_on_the_newest_that_is_open(on, credits_):
    told = f"events: [{{kind: unit_decision, person: ana, unit: U1, on: {on}}}]"
    ask = f"ask: [{{person: ana, pathway: Q1, credits: {credits_}}}]"

    playing = play(read_story(f"{UNITS}{told}\n{ask}", "s.yaml"))

    assert playing.differences == []
    assert [answer.is_right for answer in answers(playing)] == [True]


@pytest.mark.django_db
def test_a_moderation_of_a_unit_that_was_not_decided_is_refused():
    told = "events: [{kind: moderation, person: ana, unit: U1, on: 2025-07-01, refused: unknown_entry}]"

    assert play(read_story(f"{UNITS}{told}", "s.yaml")).differences == []
