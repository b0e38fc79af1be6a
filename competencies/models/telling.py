"""Who was told of a new revision, so that nobody is told twice and everybody can look it up."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import TaskRevision
from competencies.models.people import Person


class RevisionNotice(models.Model):
    """A revision was made known to a person; `mailed_at` is when the e-mail went out (None: on the page only)."""

    revision = models.ForeignKey(TaskRevision, models.CASCADE, related_name="notices")
    person = models.ForeignKey(Person, models.CASCADE, related_name="revision_notices")
    told_at = models.DateTimeField(_("told at"))
    mailed_at = models.DateTimeField(_("e-mail sent at"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["revision", "person"], name="told_of_revision_once")]

    def __str__(self) -> str:
        """Return the revision and the person."""
        return f"{self.revision_id} {self.person_id}"
