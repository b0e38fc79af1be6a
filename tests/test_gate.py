"""The gate itself: it must be able to say no."""

import os
import re
import sys

import pytest

from config import gate


@pytest.fixture
def outcomes(monkeypatch):
    """The steps that are asked for, by heading, and the exit code that each is to give."""

    class Outcomes(dict):
        def run_step(self, step):
            self.asked.append(step)
            return self.get(step.heading, 0)

    outcomes = Outcomes()
    outcomes.asked = []
    monkeypatch.setattr(gate, "run_step", outcomes.run_step)
    monkeypatch.setattr(gate, "postgresql_url", lambda: "postgres://root@127.0.0.1:5432/gate")
    monkeypatch.delenv("CI", raising=False)
    monkeypatch.delenv("DATABASE_URL_TEST", raising=False)
    return outcomes


HEADINGS = [
    "ruff check",
    "ruff format",
    "import-linter",
    "djlint",
    "mypy",
    "migrations agree with the models",
    "tests on SQLite",
    "tests on PostgreSQL",
]


def test_everything_runs_in_order_on_both_databases(outcomes, capsys):
    assert gate.run_all() == 0

    assert [step.heading for step in outcomes.asked] == HEADINGS
    databases = [step.environment.get("DATABASE_URL") for step in outcomes.asked[-2:]]
    assert databases == ["sqlite://:memory:", "postgres://root@127.0.0.1:5432/gate"]
    assert "FAILED" not in capsys.readouterr().out


@pytest.mark.parametrize("heading", HEADINGS)
@pytest.mark.parametrize("code", [1, 5, -9])
def test_one_red_step_makes_it_red_and_the_others_still_run(outcomes, capsys, heading, code):
    outcomes[heading] = code

    assert gate.run_all() == 1

    assert [step.heading for step in outcomes.asked] == HEADINGS
    assert re.search(rf"^FAILED +0 s +{heading}$", capsys.readouterr().out, re.MULTILINE)


@pytest.mark.parametrize(
    ("variable", "code"),
    [
        pytest.param(None, 0, id="nobody promised a server"),
        pytest.param("CI", 1, id="in CI one is promised"),
        pytest.param("DATABASE_URL_TEST", 1, id="one was named"),
    ],
)
def test_a_missing_server_is_said_and_counts_where_it_was_promised(outcomes, monkeypatch, capsys, variable, code):
    monkeypatch.setattr(gate, "postgresql_url", lambda: None)
    if variable:
        monkeypatch.setenv(variable, "true")

    assert gate.run_all() == code

    out = capsys.readouterr().out
    assert "SKIPPED: no PostgreSQL server answers" in out
    assert re.search(rf"^{'FAILED' if code else 'skipped'} +tests on PostgreSQL$", out, re.MULTILINE)


def test_arguments_go_to_pytest_alone(outcomes):
    outcomes["pytest tests/test_gate.py -x"] = 5

    assert gate.run_some(["tests/test_gate.py", "-x"]) == 5

    [step] = outcomes.asked
    assert step.command == [sys.executable, "-m", "pytest", "tests/test_gate.py", "-x"]


@pytest.mark.parametrize(
    ("environment", "expected"),
    [
        ({"DATABASE_URL_TEST": "postgres://ann@db/x"}, ["postgres://ann@db/x"]),
        ({"PGUSER": "ann"}, ["postgres://ann@127.0.0.1:5432/gate_7", "postgres://root@127.0.0.1:5432/gate_7"]),
        ({"PGHOST": "/run/postgresql", "PGUSER": "a b"}, ["postgres://a%20b@/gate_7", "postgres://root@/gate_7"]),
        ({"PGPORT": "5433"}, ["postgres://root@127.0.0.1:5433/gate_7", "postgres://postgres@127.0.0.1:5433/gate_7"]),
    ],
)
def test_candidates_are_the_one_named_or_the_usual_local_ones(monkeypatch, environment, expected):
    for name in ["DATABASE_URL_TEST", "PGUSER", "PGHOST", "PGPORT"]:
        monkeypatch.delenv(name, raising=False)
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(gate.getpass, "getuser", lambda: "root")
    monkeypatch.setattr(os, "getpid", lambda: 7)

    assert list(gate.candidates())[: len(expected)] == expected


def test_a_server_that_does_not_answer_is_none():
    assert gate.may_create_databases("postgres://nobody@127.0.0.1:1/x") is False


@pytest.mark.parametrize("spread", [[], gate.SPREAD], ids=["one process", "as the gate"])
@pytest.mark.parametrize(
    ("test", "code"),
    [
        pytest.param("def test_it(): pass", 0, id="one passes"),
        pytest.param("def test_it(): assert 0", 1, id="one fails"),
        pytest.param("", 5, id="there is none"),
        pytest.param("import pytest\ndef test_it(): pytest.skip('no')", 5, id="all are skipped"),
    ],
)
def test_a_run_that_shows_nothing_fails(pytester, request, test, code, spread):
    """Played in a project of its own."""
    pytester.makeini("[pytest]\naddopts = -p no:django\n")
    pytester.makeconftest((request.config.rootpath / "tests" / "empty_runs.py").read_text())
    pytester.makepyfile(test_it=test)

    assert pytester.runpytest_subprocess(*spread).ret == code
