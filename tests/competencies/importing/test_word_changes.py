"""What became of words and lines, held against git's own comparison of words."""

import re
import subprocess

import pytest
from hypothesis import given
from hypothesis import strategies as some

from competencies.importing.word_changes import Piece, Sign, line_changes, word_changes

WORDS = some.lists(some.sampled_from(["rinse", "the", "valve", "at", "80", "°C", "for", "20", "min"]), max_size=12)
EDITS = [
    ("Rinse for 20 min at 80 °C", "Rinse for 30 min at 80 °C"),
    ("Check the CO2 alarm before opening", "Check the alarm and the fan before opening the door"),
    ("Close the valve", "Close the valve, tag it and sign"),
    ("", "Wear the face shield"),
    ("Wear the face shield", ""),
]


def side(pieces, *signs):
    return " ".join(piece.text for piece in pieces if piece.sign in signs)


def by_git(tmp_path, before, after):
    """Return git's word changes in the form of ours. Source: `git diff --word-diff=porcelain`."""
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_text(before + "\n")
    new.write_text(after + "\n")
    command = ["git", "diff", "--no-index", "--patience", "--word-diff=porcelain", str(old), str(new)]
    out = subprocess.run(command, capture_output=True, text=True, check=False).stdout
    lines = out.split("@@\n", 1)[1].splitlines()
    signs = {" ": Sign.KEPT, "+": Sign.ADDED, "-": Sign.REMOVED}
    return [Piece(signs[line[0]], line[1:].strip()) for line in lines if re.match(r"[ +-]", line) and line[1:].strip()]


@pytest.mark.parametrize(("before", "after"), EDITS)
def test_word_changes_agree_with_those_of_git(tmp_path, before, after):
    assert list(word_changes(before, after)) == by_git(tmp_path, before, after)


@given(WORDS, WORDS)
def test_both_texts_can_be_read_out_of_the_pieces(old, new):
    pieces = word_changes(" ".join(old), " ".join(new))

    assert side(pieces, Sign.KEPT, Sign.REMOVED).split() == old
    assert side(pieces, Sign.KEPT, Sign.ADDED).split() == new


@given(WORDS)
def test_the_same_text_has_not_changed_whatever_the_blanks(words):
    pieces = word_changes(" ".join(words), "  ".join(words))

    assert all(piece.sign is Sign.KEPT for piece in pieces)


def test_a_line_that_moved_is_the_same_line_and_a_reworded_one_is_found_again():
    before = ["Wear gloves", "Rinse for 20 min at 80 °C", "Sign the log"]
    after = ["Sign the log", "Rinse for 30 min at 80 °C", "Lock the panel and hang up your tag"]

    found = line_changes(before, after)

    assert [(line.old, line.new) for line in found] == [(3, 1), (2, 2), (None, 3), (1, None)]
    assert [line.is_moved for line in found] == [True, False, False, False]
    assert [line.is_changed for line in found] == [False, True, True, True]


@given(some.lists(WORDS.map(" ".join), max_size=6), some.lists(WORDS.map(" ".join), max_size=6))
def test_every_line_of_both_lists_is_told_once(before, after):
    found = line_changes(before, after)

    assert sorted(line.old for line in found if line.old) == list(range(1, len(before) + 1))
    assert [line.new for line in found if line.new] == list(range(1, len(after) + 1))
