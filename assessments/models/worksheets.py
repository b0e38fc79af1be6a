"""Worksheets: problems on paper, with a key that always matches."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models import Person, Plant


class Worksheet(models.Model):
    """Problems drawn once to be worked on paper, for one person, a crew, or nobody in particular.

    `seed` draws every copy: the same seed and the same choices give the same figures. It is practice: nothing of it
    goes into the ledger.
    """

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="worksheets")
    title = models.CharField(_("title"), max_length=80)
    seed = models.BigIntegerField(_("seed"))
    made_by = models.ForeignKey(Person, models.PROTECT, related_name="worksheets_made")
    made_at = models.DateTimeField(_("made at"))

    class Meta:
        """Indexes."""

        indexes = [models.Index(fields=["plant", "-made_at"], name="worksheet_by_plant")]

    def __str__(self) -> str:
        """Return what is printed on every page of it."""
        return f"W{self.pk}"


class WorksheetCopy(models.Model):
    """The problems of one copy, as they were set: kind, seed, givens and right answer of each.

    They are kept, so that a key printed years later belongs to the sheet even when a calculation has changed since.
    `person` is empty on a copy that anybody may work.
    """

    worksheet = models.ForeignKey(Worksheet, models.CASCADE, related_name="copies")
    number = models.PositiveSmallIntegerField(_("copy"))
    person = models.ForeignKey(Person, models.CASCADE, null=True, blank=True, related_name="worksheet_copies")
    problems = models.JSONField(_("problems"))

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["worksheet", "number"], name="worksheet_copy_once")]

    def __str__(self) -> str:
        """Return worksheet and copy."""
        return f"{self.worksheet_id}/{self.number}"
