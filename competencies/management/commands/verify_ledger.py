"""Looks whether the ledger is whole."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from competencies.ledger.chain import ChainError
from competencies.ledger.commitments import verify_commitments
from competencies.ledger.verifying import verify_ledger


class Command(BaseCommand):
    """Recompute the chain from the first entry; exit with 1 at the first that does not fit."""

    help = "Recomputes the ledger from its first entry, and compares index, anchors, guards, names and texts."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the depth of the look."""
        parser.add_argument(
            "--values", action="store_true", help="also read every value of every entry by its schema (slower)"
        )

    def handle(self, *_args: Any, **options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Verify, and print count, head and root."""
        try:
            found = verify_ledger(with_values=options["values"])
            values = verify_commitments()
        except ChainError as fault:
            raise CommandError(f"The ledger does not fit: {fault}.") from fault
        self.stdout.write(f"count {found.count}")
        self.stdout.write(f"head {found.head.hex()}")
        self.stdout.write(f"root {found.root.hex()}")
        self.stdout.write(f"anchors {found.anchors} hold")
        self.stdout.write(f"names and texts {values.kept} kept, {values.erased} erased, 0 false")
        self.stdout.write("guards in place")
