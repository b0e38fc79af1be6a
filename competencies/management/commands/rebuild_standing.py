"""Makes the projected periods of standing again."""

from typing import Any

from django.core.management.base import BaseCommand

from competencies.ledger.writer import writing
from competencies.models import Person, Plant
from competencies.operations.projection import rebuild_standing


class Command(BaseCommand):
    """Drop every projected period and make it again from the ledger, plant by plant."""

    help = "Drops the projected periods of standing and makes them again from the ledger: the same rows."

    def handle(self, *_args: Any, **_options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Rebuild in one transaction, while nobody appends."""
        with writing():
            for plant in Plant.objects.order_by("pk"):
                people = Person.objects.filter(plant=plant).select_related("plant").order_by("pk")
                self.stdout.write(f"{plant}: {rebuild_standing(people=people)} periods")
