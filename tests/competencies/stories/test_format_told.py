"""The README tells every key, kind and code that the reader knows."""

from pathlib import Path

import pytest

import competencies.stories
from competencies.stories.player.judging_refusals import WIDER
from competencies.stories.story_file.events import COMMON_EVENT_KEYS, EVENT_KEYS
from competencies.stories.story_file.people import GRANT_KEYS
from competencies.stories.story_file.questions import QUESTION_KEYS
from competencies.stories.story_file.reader import STORY_KEYS
from competencies.stories.story_file.tasks import TERMS_KEYS

README = (Path(competencies.stories.__file__).parent / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "words",
    [STORY_KEYS, EVENT_KEYS, COMMON_EVENT_KEYS, QUESTION_KEYS, GRANT_KEYS, TERMS_KEYS, WIDER],
    ids=["story", "kinds", "events", "questions", "grants", "terms", "wider"],
)
def test_every_word_of_the_reader_is_told(words):
    assert [word for word in words if f"`{word}`" not in README and f"`{word}:" not in README] == []


@pytest.mark.parametrize("kind", EVENT_KEYS)
def test_each_kind_of_event_has_a_row_with_what_may_be_told_of_it(kind):
    rows = [row for row in README.splitlines() if row.startswith("|") and f"`{kind}`" in row.split("|")[1]]

    assert len(rows) == 1
    own = set(EVENT_KEYS[kind]) - set(COMMON_EVENT_KEYS)
    assert {key for key in own if f"`{key}" not in rows[0]} == set()
