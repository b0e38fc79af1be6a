"""Keeps the ledger's root."""

from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils import timezone

from competencies.ledger.anchoring import AnchorReason, anchor_ledger


class Command(BaseCommand):
    """Keep the size and the root of the ledger as they are now, and print them to be kept elsewhere too."""

    help = "Keeps the ledger's size and root as they are now and prints them, so that they can leave the house."

    def add_arguments(self, parser: CommandParser) -> None:
        """Add the reason."""
        parser.add_argument("--why", choices=[reason.value for reason in AnchorReason], default=AnchorReason.DAILY)

    def handle(self, *_args: Any, **options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Anchor, and print."""
        anchor = anchor_ledger(at=timezone.now(), why=AnchorReason(options["why"]))
        self.stdout.write(f"{anchor.at.isoformat()} size {anchor.size} root {bytes(anchor.root).hex()}")
