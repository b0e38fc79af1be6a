"""Makes the ledger's search table again."""

from typing import Any

from django.core.management.base import BaseCommand

from competencies.ledger.indexing import rebuild_index
from competencies.ledger.writer import writing


class Command(BaseCommand):
    """Drop the search table and fill it from the bodies of the entries."""

    help = "Drops the ledger's search table and makes it again from the entries."

    def handle(self, *_args: Any, **_options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Rebuild in one transaction, while nobody appends."""
        with writing():
            count = rebuild_index()
        self.stdout.write(f"{count} entries indexed")
