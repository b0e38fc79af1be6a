"""Periods of standing, worked out from the ledger and kept only for speed."""

from django.db import models

from competencies.models.framework import Task
from competencies.models.people import Person


class StandingPeriod(models.Model):
    """One period of a person's timeline on a task in a scope, as known between two moments.

    A cache: `manage.py rebuild_standing` makes the same rows again. None in `starts_at` or `ends_at` means no limit;
    None in `known_to` means still known.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="standing_periods")
    task = models.ForeignKey(Task, models.CASCADE, related_name="standing_periods")
    scope = models.CharField(max_length=21, blank=True)
    starts_at = models.DateTimeField(null=True, blank=True)
    ends_at = models.DateTimeField(null=True, blank=True)
    standing = models.CharField(max_length=20)
    counts = models.BooleanField()
    reasons = models.JSONField(default=list)
    way_back = models.JSONField(default=list)
    last_valid_on = models.DateField(null=True, blank=True)
    revision = models.PositiveIntegerField(null=True, blank=True)
    rests_on = models.JSONField(default=list)
    gained_at = models.DateTimeField(null=True, blank=True)
    known_from = models.DateTimeField()
    known_to = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Indexes: person first, since a page asks for a few people and all their tasks.

        The first holds all that a cell of the matrix shows, so that a page of thousands reads the index alone; the
        last all that it takes to count who may be left alone at a task.
        """

        indexes = [
            models.Index(
                fields=[
                    *("person", "task", "known_to", "starts_at", "ends_at"),
                    *("known_from", "scope", "standing", "counts"),
                ],
                name="period_of_cell",
            ),
            models.Index(fields=["task", "person"], name="period_by_task"),
            models.Index(
                fields=["task", "person", "known_to", "starts_at", "ends_at", "known_from", "scope"],
                condition=models.Q(counts=True),
                name="period_that_counts",
            ),
        ]

    def __str__(self) -> str:
        """Return the standing."""
        return self.standing
