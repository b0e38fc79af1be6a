"""The command that opens the demo plant."""

import os
import re
import socket
import subprocess
import sys
from contextlib import contextmanager

import pytest
from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import CommandError, call_command
from django.db import OperationalError

from competencies.demo.signins import SignIn
from competencies.management.commands import demo

pytestmark = pytest.mark.django_db

SIGN_INS = (
    SignIn("maren", "bright-copper-kettle", "271605", "trainer on the can line"),
    SignIn("nobody", "not-in-this-database", "", "somebody else"),
)


@pytest.fixture
def commands(monkeypatch):
    """The commands that the demo calls in turn, without running them."""
    called = []
    monkeypatch.setattr(demo, "call_command", lambda *args, **options: called.append(args))
    monkeypatch.setattr(demo.signins, "SIGN_INS", SIGN_INS)
    monkeypatch.setattr(demo, "file_maker", lambda: recorded(called))
    return called


@contextmanager
def recorded(called):
    """Stand in for the process that makes files."""
    called.append(("file_maker",))
    yield


@pytest.fixture
def maren():
    return get_user_model().objects.create_user("maren")


@pytest.fixture
def taken_port():
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        yield listener.getsockname()[1]


def test_an_empty_database_is_filled(commands, capsys):
    call_command("demo", no_serve=True)

    assert commands == [("migrate",), ("seed",)]
    assert "Loading the demo plant" in capsys.readouterr().out


def test_people_who_are_there_are_left_alone(commands, maren, capsys):
    call_command("demo", no_serve=True)

    assert commands == [("migrate",)]
    assert "nothing was loaded" in capsys.readouterr().out


def test_it_prints_the_address_and_the_sign_ins_that_the_database_knows(commands, maren, capsys):
    call_command("demo", no_serve=True, port=8123)

    out = capsys.readouterr().out
    assert "http://127.0.0.1:8123/" in out
    assert re.search(r"maren +bright-copper-kettle +271605 +trainer on the can line\n", out)
    assert "not-in-this-database" not in out


def test_it_says_when_the_demo_s_people_are_not_there(commands, capsys):
    call_command("demo", no_serve=True)

    assert "None of the demo's people are in this database" in capsys.readouterr().out


def test_it_serves_last_and_only_if_wanted(commands, maren, unused_port):
    call_command("demo", port=unused_port)

    assert commands == [("migrate",), ("file_maker",), ("runserver", f"127.0.0.1:{unused_port}")]


@pytest.fixture
def unused_port(taken_port):
    """A port just given back."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return listener.getsockname()[1]


def test_a_port_that_is_taken_is_told_before_anything_is_done(commands, taken_port):
    with pytest.raises(CommandError, match=rf"Port {taken_port} cannot be used.*--port 8000"):
        call_command("demo", port=taken_port)

    assert commands == []


@pytest.mark.parametrize("port", [-1, 70000])
def test_a_port_that_is_none_is_told(commands, port):
    with pytest.raises(CommandError, match=f"Port {port} cannot be used"):
        call_command("demo", port=port)


def test_a_database_that_does_not_answer_is_told_without_a_traceback(commands, monkeypatch):
    def refuse(*args, **options):
        raise OperationalError("connection refused\nIs the server running?")

    monkeypatch.setattr(demo, "call_command", refuse)

    with pytest.raises(CommandError, match=r"^The database cannot be used: connection refused$"):
        call_command("demo", no_serve=True)


def manage(*arguments, **environment):
    """Run manage.py as it is typed, with nothing in the environment that would choose for it."""
    kept = {name: value for name, value in os.environ.items() if name not in {"DATABASE_URL", "DEMO", "SECRET_KEY"}}
    command = [sys.executable, "manage.py", *arguments]
    return subprocess.run(
        command, cwd=settings.BASE_DIR, env=kept | environment, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["demo", "--no-serve", "--database-url", "nonsense"],
            "DATABASE_URL must begin with postgres:// or sqlite:///",
        ),
        (
            ["demo", "--no-serve", "--database-url=mysql://a@b/c"],
            "DATABASE_URL must begin with postgres:// or sqlite:///",
        ),
        (
            ["demo", "--no-serve", "--database-url", "sqlite:////proc/nowhere/x.sqlite3"],
            "The folder /proc/nowhere cannot",
        ),
        (["demo", "--port", "x"], "invalid int value: 'x'"),
        (["check"], "Set SECRET_KEY to at least 50 random characters"),
    ],
)
def test_what_cannot_be_is_told_without_a_traceback(arguments, message):
    run = manage(*arguments)

    assert run.returncode != 0
    assert message in run.stderr
    assert "Traceback" not in run.stderr


def test_the_whole_command_opens_the_plant_and_does_it_again(tmp_path):
    """As it is typed, in a folder of its own whose name has a space in it."""
    database = tmp_path / "a plant" / "site.sqlite3"
    command = ["demo", "--no-serve", "--database-url", f"sqlite:///{database}"]

    runs = [manage(*command) for _ in range(2)]

    assert [run.returncode for run in runs] == [0, 0], runs[0].stderr
    assert [("nothing was loaded" in run.stdout) for run in runs] == [False, True]
    assert all("http://127.0.0.1:8000/" in run.stdout for run in runs)
    assert "None of the demo's people" not in runs[1].stdout
    assert database.exists()
