"""`manage.py demo`: look around in the demo plant."""

import socket
import subprocess
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth import get_user_model
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import OperationalError

from competencies.demo import signins

ADDRESS = "127.0.0.1"


class Command(BaseCommand):
    """Migrate, load the demo plant into an empty database, show who can sign in, and serve."""

    help = "Opens the demo plant: migrates, loads it if the database is empty, prints the sign-ins, serves."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the options."""
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--port", type=int, default=8000, help="the port to serve on (8000)")
        parser.add_argument("--database-url", help="the database, such as postgres://user@127.0.0.1/name (SQLite)")

    def handle(self, *_args: Any, port: int, no_serve: bool, **_options: Any) -> None:  # noqa: ANN401 - as in Django
        """Do it in that order; a port that is taken is told before the work, not after it."""
        if not no_serve:
            refuse_taken_port(port)
        self.fill_database()
        self.stdout.write(f"\nAddress: http://{ADDRESS}:{port}/\n\n")
        self.stdout.write(table(sign_ins()))
        if no_serve:
            return
        self.stdout.write("\nCtrl+C ends it.\n")
        self.stdout.flush()
        with file_maker():
            call_command("runserver", f"{ADDRESS}:{port}", use_reloader=False)

    def fill_database(self) -> None:
        """Bring the database up to date, and load the demo plant if nobody is in it."""
        make_database_folder()
        try:
            call_command("migrate", verbosity=0, interactive=False)
        except OperationalError as error:
            reason = str(error).strip().splitlines()[0]
            raise CommandError(f"The database cannot be used: {reason}") from error
        if get_user_model().objects.exists():
            self.stdout.write("The database holds people already, so nothing was loaded.")
            return
        self.stdout.write("Loading the demo plant.")
        self.stdout.flush()
        call_command("seed")


@contextmanager
def file_maker() -> Iterator[None]:
    """Make files in the background, in a process of its own, as long as the site is served."""
    command = [sys.executable, "manage.py", "make_files", "--with-parent"]
    maker = subprocess.Popen(command, cwd=settings.BASE_DIR)  # noqa: S603 - our own program, in this environment
    try:
        yield
    finally:
        maker.terminate()
        maker.wait(timeout=30)


def refuse_taken_port(port: int) -> None:
    """Stop with a message when the port cannot be listened on."""
    with socket.socket() as listener:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((ADDRESS, port))
        except (OSError, OverflowError) as error:
            another = f"python3 manage.py demo --port {8001 if port == 8000 else 8000}"  # noqa: PLR2004 - two ports
            raise CommandError(f"Port {port} cannot be used ({error}). Choose another: {another}") from error


def make_database_folder() -> None:
    """Make the folder of a SQLite file, which SQLite does not make itself."""
    database = settings.DATABASES["default"]
    if database["ENGINE"] == "django.db.backends.sqlite3" and database["NAME"] != ":memory:":
        folder = Path(database["NAME"]).parent
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise CommandError(f"The folder {folder} cannot be made: {error.strerror}") from error


def sign_ins() -> list[signins.SignIn]:
    """Return the demo's sign-ins that this database knows."""
    known = set(get_user_model().objects.values_list("username", flat=True))
    return [sign_in for sign_in in signins.SIGN_INS if sign_in.username in known]


def table(rows: list[signins.SignIn]) -> str:
    """Set the sign-ins in columns."""
    if not rows:
        return "None of the demo's people are in this database: sign in with an account of its own.\n"
    lines = [("Username", "Password", "PIN", "Who it is"), *rows]
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() + "\n"
        for line in lines
    )
