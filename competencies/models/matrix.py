"""Cuts of the matrix that somebody keeps."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Plant


class SavedView(models.Model):
    """A cut of the matrix under a name: the question of its address. Shared, the whole plant's office sees it."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="saved_views")
    owner = models.ForeignKey(Person, models.CASCADE, related_name="saved_views")
    name = models.CharField(_("name"), max_length=60)
    query = models.TextField(_("what it shows"), blank=True)
    is_shared = models.BooleanField(_("shared with the plant"), default=False)
    saved_at = models.DateTimeField(_("saved"))

    class Meta:
        """Constraints."""

        verbose_name_plural = "saved views of the matrix"
        constraints = [models.UniqueConstraint(fields=["owner", "name"], name="saved_view_once")]

    def __str__(self) -> str:
        """Return the name."""
        return self.name
