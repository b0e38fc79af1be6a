"""What a story declares of a line is read, or named with its line in the file."""

import pytest

from competencies.stories.story_file import StoryFileError, read_story


def told(declared):
    tasks = "tasks: [{code: A}, {code: B}, {code: C}]"
    text = f"story: s\n{tasks}\nlines:\n  - {{code: L1, slots: [A, B, C], {declared}}}\n"
    return read_story(text, "s.yaml").lines[0]


@pytest.mark.parametrize("written", ["[[A, B]]", '["A + B"]', '["A+B"]', "[A, B]"])
def test_a_pair_may_be_written_in_several_ways(written):
    assert told(f"combinable: {written}").combinable == (("A", "B"),)


def test_several_pairs_groups_and_relief_are_told_together():
    line = told('neighbours: [[A, B], "B + C"], groups: [[A, B, C]], relief: yes')

    assert line.neighbours == (("A", "B"), ("B", "C"))
    assert line.groups == (("A", "B", "C"),)
    assert line.relief


@pytest.mark.parametrize(
    ("declared", "place"),
    [
        ("combinable: [[A, B, C]]", "lines[L1].combinable: a list of pairs"),
        ("neighbours: [[A, X]]", "lines[L1].neighbours: the line has no such slot: X"),
        ("relief: perhaps", "lines[L1].relief: yes or no was expected"),
    ],
)
def test_what_cannot_be_is_named_with_its_place(declared, place):
    with pytest.raises(StoryFileError) as refused:
        told(declared)

    assert place in str(refused.value)
    assert str(refused.value).startswith("s.yaml:4:")
