"""Plays stories against the rule. The format is described in competencies/stories/README.md."""

import sys
from argparse import ArgumentParser
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand
from django.db import connection, transaction

from competencies.stories.asking import answers
from competencies.stories.player import play
from competencies.stories.story import Story
from competencies.stories.story_file import StoryFileError, read_story

DIFFERS, NOT_A_STORY = 1, 2


class Command(BaseCommand):
    """Play each story in a database of its own that is thrown away."""

    help = "Plays story files and says, question by question, whether the rule answers as the story does."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the files."""
        parser.add_argument("files", nargs="+", type=Path, metavar="FILE")

    def handle(self, *_args: object, **options: Any) -> None:  # noqa: ANN401 - as Django gives them
        """Read all files first, then play them one after the other."""
        stories = self._read(options["files"])
        name = connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
        try:
            differing = sum(self._play(story) for story in stories)
        finally:
            connection.creation.destroy_test_db(name, verbosity=0)
        if differing:
            sys.exit(DIFFERS)

    def _read(self, files: list[Path]) -> list[Story]:
        stories = []
        faults: list[object] = []
        for file in files:
            try:
                stories.append(read_story(file.read_text(encoding="utf-8"), str(file)))
            except StoryFileError as error:
                faults += error.faults
            except (OSError, UnicodeDecodeError) as error:
                faults.append(f"{file}:1: cannot be read: {error}")
        if faults:
            self._refuse(faults)
        return stories

    def _refuse(self, faults: Iterable[object]) -> NoReturn:
        """Name every fault, and end."""
        for fault in faults:
            self.stderr.write(str(fault))
        sys.exit(NOT_A_STORY)

    def _play(self, story: Story) -> int:
        """Play one story inside a transaction that is rolled back; return how much differed."""
        self.stdout.write(f"{story.file}: {story.title}")
        with transaction.atomic():
            playing = play(story)
            found = answers(playing)
            transaction.set_rollback(True)
        if story.faults.found:
            self._refuse(story.faults.found)
        for note in playing.notes:
            self.stdout.write(f"note: {story.file}:{note.line}: {note.message}")
        for difference in playing.differences:
            self.stdout.write(f"differs: {story.file}:{difference.line}: {difference.message}")
        for answer in found:
            if answer.is_right:
                self.stdout.write(f"ok {answer.asked}: {answer.got}")
            else:
                self.stdout.write(
                    f"differs: {story.file}:{answer.line}: {answer.asked}: "
                    f"expected {answer.expected}, got {answer.got}"
                )
        return len(playing.differences) + sum(not answer.is_right for answer in found)
