"""`manage.py seed`: load the demo plant into an empty database."""

from argparse import ArgumentParser
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from competencies.demo.signins import PublicPasswordError
from competencies.demo.story import load
from competencies.models import LedgerEntry, Person


class Command(BaseCommand):
    """Loads nothing where there are people already, so it may be run twice."""

    help = "Load the demo plant with a year and a half of history, if nobody is in the database."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the arguments."""
        parser.add_argument("--today", type=date.fromisoformat, help="the day of loading (default: today)")

    def handle(self, *_args: Any, today: date | None, **_options: Any) -> None:  # noqa: ANN401 - as in Django
        """Load, and say how much it is."""
        if Person.objects.exists():
            self.stdout.write("There are people in the database, so nothing was loaded.")
            return
        try:
            load(today=today or timezone.localdate())
        except PublicPasswordError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{Person.objects.count()} people, {LedgerEntry.objects.count()} entries in the ledger.")
