"""Every story in this folder is told again, on whichever database the tests run."""

from pathlib import Path

import pytest

from competencies.models import Person, StandingPeriod
from competencies.operations.projection import COMPARED, rebuild_standing
from competencies.stories.asking import answers
from competencies.stories.player import play
from competencies.stories.story_file import read_story

STORIES = sorted(Path(__file__).parent.glob("*.yaml"))


@pytest.mark.django_db
@pytest.mark.parametrize("file", STORIES, ids=lambda file: file.stem)
def test_story_is_answered_as_it_was_worked_by_hand(file):
    playing = play(read_story(file.read_text(encoding="utf-8"), file.name))

    found = answers(playing)

    assert playing.differences == []
    assert found, "a story asks something"
    assert [answer for answer in found if not answer.is_right] == []


@pytest.mark.django_db
@pytest.mark.parametrize("file", STORIES, ids=lambda file: file.stem)
def test_rebuilt_standing_has_the_same_rows(file):
    play(read_story(file.read_text(encoding="utf-8"), file.name))
    kept = rows()

    rebuild_standing(people=list(Person.objects.select_related("plant")))

    assert rows() == kept
    assert kept


def rows():
    """Return the projected rows without their keys, in an order of their own."""
    names = ("person_id", "task_id", "scope", "known_from", "known_to", *COMPARED)
    return sorted(
        (tuple(repr(value) for value in row) for row in StandingPeriod.objects.values_list(*names)),
    )
