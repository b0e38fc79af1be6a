"""The checks that every change passes, in one place: `manage.py test` runs them in this order.

Everything runs with the Python that runs this, and every step runs even when an earlier one failed, so that one run
tells everything. The tests run on SQLite, and again on PostgreSQL where a server answers.
"""

import getpass
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from time import monotonic
from typing import NamedTuple
from urllib.parse import quote

import psycopg

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ["competencies", "assessments", "config"]
PYTHON = sys.executable
# One worker a core, each with a database of its own; the tests of a file stay together.
SPREAD = ["-n", "auto", "--dist", "loadfile"]
PASSED, FAILED, SKIPPED = "passed", "FAILED", "skipped"


class Step(NamedTuple):
    """One check: its heading, its command, and what its environment has besides."""

    heading: str
    command: Sequence[str]
    environment: Mapping[str, str] = {}


QUALITY = [
    Step("ruff check", [PYTHON, "-m", "ruff", "check", "."]),
    Step("ruff format", [PYTHON, "-m", "ruff", "format", "--check", "."]),
    Step("import-linter", [PYTHON, "-c", "from importlinter.cli import lint_imports_command as run; run()"]),
    Step("djlint", [PYTHON, "-m", "djlint", "--lint", "--quiet", "templates"]),
    Step("mypy", [PYTHON, "-m", "mypy", *PACKAGES]),
    Step(
        "migrations agree with the models",
        [PYTHON, "manage.py", "makemigrations", "--check", "--dry-run"],
        {"DATABASE_URL": "sqlite://:memory:"},
    ),
]


def run_all() -> int:
    """Run every check, print a summary, and return 0 when all passed, else 1."""
    results = {step.heading: verdict(step) for step in QUALITY}
    results["tests on SQLite"] = verdict(tests("tests on SQLite", "sqlite://:memory:"))
    results["tests on PostgreSQL"] = verdict_on_postgresql()
    sys.stdout.write("\n" + "".join(f"{word:15}  {title}\n" for title, word in results.items()))
    return 1 if any(word.startswith(FAILED) for word in results.values()) else 0


def run_some(arguments: Sequence[str]) -> int:
    """Run pytest alone, with `arguments`, on the database of the environment; return its exit code."""
    return run_step(Step("pytest " + " ".join(arguments), [PYTHON, "-m", "pytest", *arguments]))


def verdict(step: Step) -> str:
    """Run a step and say in a word how it went, and how long it took."""
    start = monotonic()
    word = FAILED if run_step(step) else PASSED
    return f"{word} {monotonic() - start:5.0f} s"


def verdict_on_postgresql() -> str:
    """Run the tests on a PostgreSQL server if one answers; where one is promised, its absence is a failure."""
    url = postgresql_url()
    if url:
        return verdict(tests("tests on PostgreSQL", url))
    heading("tests on PostgreSQL")
    sys.stdout.write(
        "SKIPPED: no PostgreSQL server answers at PGHOST or 127.0.0.1:5432. DATABASE_URL_TEST names one.\n"
    )
    return FAILED if os.environ.get("CI") or os.environ.get("DATABASE_URL_TEST") else SKIPPED


def tests(title: str, url: str) -> Step:
    """Return the step that runs all tests on the database at `url`."""
    return Step(title, [PYTHON, "-m", "pytest", "-q", "-ra", *SPREAD], {"DATABASE_URL": url})


def run_step(step: Step) -> int:
    """Print the heading, run the command from the project's folder, and return its exit code."""
    heading(step.heading)
    environment = {**os.environ, **step.environment}
    return subprocess.run(step.command, cwd=ROOT, env=environment, check=False).returncode  # noqa: S603 - steps above


def heading(text: str) -> None:
    """Print a heading."""
    sys.stdout.write(f"\n== {text}\n")
    sys.stdout.flush()


def postgresql_url() -> str | None:
    """Return the address of a PostgreSQL server that answers and lets us create a test database, or None."""
    return next(filter(may_create_databases, candidates()), None)


def candidates() -> Iterator[str]:
    """Yield the addresses to try: the one that is asked for, or the usual local ones.

    The name holds the process number, so that two runs on one server do not share a test database.
    """
    asked_for = os.environ.get("DATABASE_URL_TEST")
    if asked_for:
        yield asked_for
        return
    # libpq reads PGHOST and PGPORT by itself, and a socket's folder cannot be part of a URL here.
    host = "" if os.environ.get("PGHOST") else "127.0.0.1:" + os.environ.get("PGPORT", "5432")
    users = [os.environ.get("PGUSER"), getpass.getuser(), "root", "postgres"]
    for user in dict.fromkeys(filter(None, users)):
        yield f"postgres://{quote(user)}@{host}/gate_{os.getpid()}"


def may_create_databases(url: str) -> bool:
    """Whether a server answers there and the user may create databases."""
    server = url.rpartition("/")[0] + "/postgres"
    try:
        with psycopg.connect(server, connect_timeout=3) as connection:
            row = connection.execute(
                "SELECT rolcreatedb OR rolsuper FROM pg_roles WHERE rolname = current_user"
            ).fetchone()
    except psycopg.OperationalError:
        return False
    return bool(row and row[0])
