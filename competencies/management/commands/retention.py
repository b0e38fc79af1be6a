"""Lists what of the records is due to be erased; erases nothing."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone
from django.utils.dateparse import parse_date

from competencies.models import Plant
from competencies.queries.retention import KeptBack, retention_of


class Command(BaseCommand):
    """Print what is due and what is kept back and why: always a dry run. Erasing is signed by two, on a page."""

    help = "Lists what is due to be erased and what is kept back, and why. Erases nothing: two people sign that."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the day and the plant."""
        parser.add_argument("--on", help="the day to ask for, such as 2026-01-31; default: today")
        parser.add_argument("--plant", help="the code of the plant; default: every plant")

    def handle(self, *_args: Any, **options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Print a line for each."""
        on = timezone.localdate() if options["on"] is None else _day(options["on"])
        plants = Plant.objects.order_by("code")
        if options["plant"]:
            plants = plants.filter(code=options["plant"])
        for plant in plants:
            found = retention_of(plant, on=on)
            self.stdout.write(f"{plant.code} on {on}: nothing is erased by this command")
            for due in found.evidence:
                self.stdout.write(
                    f"due evidence {due.person.works_number}: {due.count} texts, {due.first_on} to {due.last_on}"
                )
            for record in found.records:
                self.stdout.write(f"due record {record.person.works_number}: kept until {record.kept_until}")
            for back in found.kept_back:
                self.stdout.write(f"kept {back.what} {back.person.works_number}: {back.count}, {_why(back)}")


def _day(text: str) -> Any:  # noqa: ANN401 - a date, once it was read
    try:
        found = parse_date(text)
    except ValueError:
        found = None
    if found is None:
        raise CommandError(f"{text} is not a day such as 2026-01-31.")
    return found


def _why(back: KeptBack) -> str:
    if back.holds:
        return "hold " + ", ".join(hold.incident for hold in back.holds)
    return "no moderation since"
