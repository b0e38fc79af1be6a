"""`manage.py play`: one file that is no story, or one that breaks off, keeps no other from being played."""

import pytest
from django.core.management import CommandError, call_command

from competencies.management.commands import play
from competencies.wording import SENTENCES, SENTENCES_OF_RULE, STEPS

GOOD = "story: signed off\ntasks: [{code: T, runs: 0, validity_months: 12}]\n"
ASK = "events: [{kind: assessment, person: ana, task: T, on: 2025-03-10}]\nask:\n"
RIGHT = "  - {person: ana, task: T, on: 2025-03-10, last_valid: 2026-03-10}\n"
WRONG = "  - {person: ana, task: T, on: 2025-03-10, last_valid: 2026-03-11}\n"


@pytest.fixture
def played(tmp_path, monkeypatch, db):
    """Return a function that plays texts as files, in the test's own database, and gives the exit code."""
    monkeypatch.setattr(play.connection.creation, "create_test_db", lambda **_: "")
    monkeypatch.setattr(play.connection.creation, "destroy_test_db", lambda *_, **__: None)

    def run(*texts):
        files = []
        for number, text in enumerate(texts):
            file = tmp_path / f"{number}.yaml"
            file.write_text(text, encoding="utf-8")
            files.append(str(file))
        try:
            call_command("play", *files)
        except SystemExit as end:
            return end.code
        return 0

    return run


@pytest.mark.parametrize(
    ("texts", "code", "told"),
    [
        ([GOOD + ASK + RIGHT], 0, ["ok ana T 2025-03-10: last valid day: 2026-03-10"]),
        ([GOOD + ASK + WRONG], 1, ["expected 2026-03-11, got 2026-03-10"]),
        (["stori: x\n", GOOD + ASK + RIGHT], 2, ["ok ana T 2025-03-10"]),
    ],
)
def test_play_says_how_each_question_was_answered(played, capsys, texts, code, told):
    assert played(*texts) == code

    shown = capsys.readouterr().out
    assert [word for word in told if word not in shown] == []


def test_play_names_the_field_of_what_is_no_story(played, capsys):
    assert played(GOOD + "ask: [{person: ana, task: U, on: 2025-03-10, counts: true}]\n") == 2

    assert "0.yaml:3: ask[1].task: the story tells of no such task" in capsys.readouterr().err


def test_play_tells_every_code_that_a_story_may_name(capsys):
    call_command("play", "--codes")

    told = capsys.readouterr().out
    codes = [*SENTENCES, *STEPS, *(f"under {rule}" for rule, _ in SENTENCES_OF_RULE)]
    assert [code for code in codes if f"  {code}: " not in told] == []
    assert "  run: 1 supervised run on TASK (with somebody in force on the task)\n" in told


def test_play_asks_for_files_when_it_is_given_none():
    with pytest.raises(CommandError, match="Name the files"):
        call_command("play")


def test_play_goes_on_when_a_story_breaks_off(played, capsys, monkeypatch):
    kept = play.play
    monkeypatch.setattr(play, "play", lambda story: kept(story) if "0.yaml" not in story.file else 1 / 0)

    assert played(GOOD, GOOD + ASK + RIGHT) == 1

    shown = capsys.readouterr().out
    assert "0.yaml:1: broke off: ZeroDivisionError" in shown
    assert "ok ana T 2025-03-10" in shown
