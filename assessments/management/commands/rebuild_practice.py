"""Makes what is kept of everybody's progress in practice again."""

from typing import Any

from django.core.management.base import BaseCommand

from assessments.operations.practice import rebuild_progress
from competencies.models import Person


class Command(BaseCommand):
    """Drop the progress that is kept and make it again from the attempts, person by person."""

    help = "Drops what is kept of the progress in practice and makes it again from the attempts: the same rows."

    def handle(self, *_args: Any, **_options: Any) -> None:  # noqa: ANN401 - Django's signature
        """Rebuild; only counts are told, practice is nobody else's business."""
        people = Person.objects.filter(practice_attempts__isnull=False).distinct().order_by("pk")
        counts = [rebuild_progress(person=person) for person in people]
        self.stdout.write(f"{len(counts)} people, {sum(counts)} kinds")
