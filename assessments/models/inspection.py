"""Inspection by eye in practice, which is the trainee's own."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models import Person


class InspectionSeriesQuerySet(models.QuerySet["InspectionSeries"]):
    """Questions about series."""

    def open(self) -> "InspectionSeriesQuerySet":
        """Keep those that are not finished."""
        return self.filter(finished_at=None)

    def handed_in(self) -> "InspectionSeriesQuerySet":
        """Keep those that the trainee chose to show."""
        return self.exclude(handed_in_at=None)


class InspectionSeries(models.Model):
    """A row of drawings that a person judges. It is theirs alone until they hand it in, and they may take it back.

    `kind` is the code of an inspection; the drawings follow from `seed`, their number and `close_percent`.
    """

    person = models.ForeignKey(Person, models.CASCADE, related_name="inspection_series")
    kind = models.CharField(_("kind of inspection"), max_length=20)
    seed = models.BigIntegerField(_("seed"))
    length = models.PositiveSmallIntegerField(_("drawings"))
    close_percent = models.PositiveSmallIntegerField(_("share close to the limit, in percent"))
    started_at = models.DateTimeField(_("started at"))
    finished_at = models.DateTimeField(_("finished at"), null=True, blank=True)
    handed_in_at = models.DateTimeField(_("handed in at"), null=True, blank=True)

    objects = InspectionSeriesQuerySet.as_manager()

    class Meta:
        """Constraints and indexes."""

        constraints = [
            models.UniqueConstraint(
                fields=["person", "kind"], condition=models.Q(finished_at=None), name="one_open_series_a_kind"
            ),
            models.CheckConstraint(
                condition=models.Q(handed_in_at=None) | models.Q(finished_at__isnull=False),
                name="handed_in_once_finished",
            ),
        ]
        indexes = [models.Index(fields=["person", "started_at"], name="series_by_person")]

    def __str__(self) -> str:
        """Return the kind and the length."""
        return f"{self.kind} {self.length}"


class InspectionAnswer(models.Model):
    """One drawing judged. What could be measured is kept as it was told, so that it can be read when drawings change.

    `truth` and `named` are codes of faults: what is wrong, empty for a good one, and what the person said is wrong.
    """

    series = models.ForeignKey(InspectionSeries, models.CASCADE, related_name="answers")
    number = models.PositiveSmallIntegerField(_("number"))
    seed = models.BigIntegerField(_("seed"))
    measures = models.JSONField(_("measures"))
    truth = models.CharField(_("true fault"), max_length=20, blank=True)
    is_close = models.BooleanField(_("close to the limit"))
    rejected = models.BooleanField(_("rejected"))
    named = models.CharField(_("fault named"), max_length=20, blank=True)
    seconds = models.PositiveIntegerField(_("seconds taken"), null=True, blank=True)
    at = models.DateTimeField(_("answered at"))

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(fields=["series", "number"], name="inspection_answer_once"),
            models.CheckConstraint(
                condition=models.Q(rejected=True) | models.Q(named=""), name="fault_named_only_when_rejected"
            ),
        ]

    def __str__(self) -> str:
        """Return the number and what was said."""
        return f"{self.number} {'rejected' if self.rejected else 'accepted'}"
