"""A story told in other words is the story told in the usual ones; what can mean two things is named as a fault."""

import pytest

from competencies.importing.faults import Faults
from competencies.importing.nodes import parse_nodes
from competencies.stories.other_words import in_usual_words
from competencies.stories.story_file import StoryFileError, read_story


def nodes(text):
    return parse_nodes(text, Faults("s.yaml"))


@pytest.mark.parametrize(
    ("told", "usual"),
    [
        ("events: [{kind: signature, of: a1}]", "events: [{kind: second_signature, of: a1}]"),
        ("events: [{kind: Second signature, of: a1}]", "events: [{kind: second_signature, of: a1}]"),
        ("events: [{kind: delta, task: T}]", "events: [{kind: assessment, delta: yes, task: T}]"),
        ("events: [{kind: run, supervisor: ben}]", "events: [{kind: run, by: ben}]"),
        ("events: [{kind: run, date: 2025-01-01}]", "events: [{kind: run, on: 2025-01-01}]"),
        ("events: [{kind: run, on: 2025-01-01T10:00}]", "events: [{kind: run, at: 2025-01-01T10:00}]"),
        ("events: [{criteria: {4: Not met}}]", "events: [{judged: {4: not_met}}]"),
        ("events: [{kind: recognition, criteria: [1]}]", "events: [{kind: recognition, criteria: [1]}]"),
        ("events: [{refused: [Too young, too_few_runs]}]", "events: [{refused: [age, too_few_runs]}]"),
        ("ask: [{standing: in force}]", "ask: [{standing: in_force}]"),
        ("ask: [{standing: awaiting second signature}]", "ask: [{standing: awaiting_signature}]"),
        ("ask: [{at: 2025-01-01, known_at: 2025-02-01}]", "ask: [{on: 2025-01-01, known: 2025-02-01}]"),
        ("ask: [{reasons: expired}]", "ask: [{reasons: lapsed}]"),
        ("tasks: [{critical: no, prerequisites: [A]}]", "tasks: [{critical: none, requires: [A]}]"),
        ("tasks: [{critical: [safety, food]}]", "tasks: [{critical: both}]"),
        ("tasks: [{critical: [food]}]", "tasks: [{critical: food}]"),
        ("holds: [{last_valid_day: 2025-01-01}]", "holds: [{last_valid: 2025-01-01}]"),
    ],
)
def test_other_words_are_read_in_the_usual_ones(told, usual):
    assert in_usual_words(nodes(told)) == nodes(usual)


def test_a_name_that_is_there_in_both_words_is_left_to_be_named():
    text = "story: s\nask:\n  - {person: ana, task: T, on: 2025-01-01, date: 2025-01-02}\ntasks: [{code: T}]\n"

    with pytest.raises(StoryFileError) as raised:
        read_story(text, "s.yaml")

    assert [(fault.line, fault.field) for fault in raised.value.faults] == [(3, "ask[1].date")]


@pytest.mark.parametrize(
    ("part", "line", "path"),
    [
        ("tasks: [{code: T}, {code: T}]", 2, "tasks[T].code"),
        ("people: [{id: ana}, {id: ana}]", 2, "people[2].id"),
        ("tasks: [{code: T, critical: yes}]", 2, "tasks[T].critical"),
    ],
)
def test_what_cannot_be_known_is_named(part, line, path):
    with pytest.raises(StoryFileError) as raised:
        read_story(f"story: s\n{part}\n", "s.yaml")

    assert (line, path) in [(fault.line, fault.field) for fault in raised.value.faults]
