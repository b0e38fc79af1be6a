"""Plays stories against the rule. The format is described in competencies/stories/README.md."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction

from competencies.standing.facts import SITE
from competencies.standing.timeline import Step
from competencies.stories.asking import answers
from competencies.stories.player import play
from competencies.stories.story import Story
from competencies.stories.story_file import StoryFileError, read_story
from competencies.wording import SENTENCES, SENTENCES_OF_RULE, STEP_DOERS, step_doer, step_sentence

DIFFERS, NOT_A_STORY = 1, 2


class Command(BaseCommand):
    """Play each story in a database of its own that is thrown away."""

    help = "Plays story files and says, question by question, whether the rule answers as the story does."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the files, or the wish to see the codes."""
        parser.add_argument("files", nargs="*", type=Path, metavar="FILE")
        parser.add_argument(
            "--codes", action="store_true", help="print the codes that a story may name, with their sentences"
        )

    def handle(self, *_args: object, **options: Any) -> None:  # noqa: ANN401 - as Django gives them
        """Read all files first, then play those that are stories, one after the other."""
        if options["codes"]:
            self._print_codes()
            return
        if not options["files"]:
            raise CommandError("Name the files to play, or ask for --codes.")
        stories, faults = self._read(options["files"])
        differing = self._play_all(stories) if stories else 0
        faults += [fault for story in stories for fault in story.faults.found]
        for fault in faults:
            self.stderr.write(str(fault))
        if faults:
            sys.exit(NOT_A_STORY)
        if differing:
            sys.exit(DIFFERS)

    def _print_codes(self) -> None:
        """Print each code and its sentence; a code that a rule words otherwise has that sentence below it."""
        self.stdout.write("Reasons and refusals")
        for code, text in sorted(SENTENCES.items()):
            self.stdout.write(f"  {code}: {text}")
            for (rule, narrow), other in SENTENCES_OF_RULE.items():
                if narrow == code:
                    self.stdout.write(f"    under {rule}: {other}")
        self.stdout.write("\nSteps of the way back")
        for step in (Step(action, "TASK", SITE) for action in sorted(STEP_DOERS)):
            self.stdout.write(f"  {step.action}: {step_sentence(step)} ({step_doer(step)})")

    def _read(self, files: list[Path]) -> tuple[list[Story], list[object]]:
        """Return the stories, and every fault of the files that are none."""
        stories = []
        faults: list[object] = []
        for file in files:
            try:
                stories.append(read_story(file.read_text(encoding="utf-8"), str(file)))
            except StoryFileError as error:
                faults += error.faults
            except (OSError, UnicodeDecodeError) as error:
                faults.append(f"{file}:1: cannot be read: {error}")
        return stories, faults

    def _play_all(self, stories: list[Story]) -> int:
        """Play stories in a database that is thrown away; return how much differed."""
        name = connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
        try:
            return sum(self._play(story) for story in stories)
        finally:
            connection.creation.destroy_test_db(name, verbosity=0)

    def _play(self, story: Story) -> int:
        """Play one story inside a transaction that is rolled back; return how much differed."""
        self.stdout.write(f"{story.file}: {story.title}")
        try:
            with transaction.atomic():
                playing = play(story)
                found = answers(playing)
                transaction.set_rollback(True)
        except Exception as error:  # noqa: BLE001 - a story that breaks off must not keep the others from being told
            self.stdout.write(f"differs: {story.file}:1: broke off: {type(error).__name__}: {error}")
            return 1
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
