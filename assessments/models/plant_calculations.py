"""The plant's own calculations, a row a version."""

from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models import Person, Plant


class PlantCalculationQuerySet(models.QuerySet["PlantCalculation"]):
    """Questions about versions."""

    def published(self) -> Self:
        """Keep those that were published, withdrawn since or not."""
        return self.exclude(published_at=None)

    def drafts(self) -> Self:
        """Keep those that nobody has published yet."""
        return self.filter(published_at=None)


class PlantCalculation(models.Model):
    """One version of a calculation of the plant: a draft until it is published, and never changed afterwards.

    `code` is what tasks ask for it by; a change of what is published is the next version. `described` is what
    `plant_formulas.described` reads. `proof` tells how whoever published or withdrew it proved who they are. A trigger
    of the database refuses to change what was published (see the migration that adds it).
    """

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="own_calculations")
    code = models.CharField(_("code"), max_length=6)
    version = models.PositiveSmallIntegerField(_("version"))
    described = models.JSONField(_("what was told"))
    changed_at = models.DateTimeField(_("changed at"))
    changed_by = models.ForeignKey(Person, models.PROTECT, related_name="calculations_changed")
    published_at = models.DateTimeField(_("published at"), null=True, blank=True)
    published_by = models.ForeignKey(
        Person, models.PROTECT, related_name="calculations_published", null=True, blank=True
    )
    proof = models.CharField(_("proof of who published it"), max_length=10, blank=True)
    withdrawn_at = models.DateTimeField(_("withdrawn at"), null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        Person, models.PROTECT, related_name="calculations_withdrawn", null=True, blank=True
    )
    withdrawal_proof = models.CharField(_("proof of who withdrew it"), max_length=10, blank=True)

    objects = PlantCalculationQuerySet.as_manager()

    class Meta:
        """Constraints."""

        constraints = [
            models.UniqueConstraint(fields=["plant", "code", "version"], name="calculation_version_once"),
            models.UniqueConstraint(
                fields=["plant", "code"], condition=models.Q(published_at=None), name="one_draft_of_a_calculation"
            ),
            models.CheckConstraint(
                condition=models.Q(published_at=None, published_by=None)
                | models.Q(published_at__isnull=False, published_by__isnull=False),
                name="calculation_published_by_somebody",
            ),
            models.CheckConstraint(
                condition=models.Q(withdrawn_at=None, withdrawn_by=None)
                | models.Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False, published_at__isnull=False),
                name="only_published_calculation_withdrawn",
            ),
        ]

    def __str__(self) -> str:
        """Return code and version."""
        return f"{self.code}-v{self.version}"
