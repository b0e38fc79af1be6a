"""What was found when an incident was opened, kept as it was."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Line, Plant, Shift
from competencies.models.retention import LegalHold


class Incident(models.Model):
    """A minute on a line that is looked into, with a copy of what was found when it was opened (R13).

    Standing can be worked out again for any moment; the roster and the plan cannot, since they keep only what holds
    now. So the copy is kept whole, and the entry of the hold set with it commits to its `digest`: whoever changes the
    row does not change the ledger, and the page says that the copy is not the one that was signed.
    """

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="incidents")
    number = models.CharField(_("incident number"), max_length=40)
    line = models.ForeignKey(Line, models.PROTECT, related_name="incidents")
    shift = models.ForeignKey(Shift, models.PROTECT, related_name="+")
    on = models.DateField(_("day on which the shift started"))
    moment = models.DateTimeField(_("minute asked about"))
    copy = models.TextField(_("what was found"))
    digest = models.CharField(_("digest"), max_length=64)
    hold = models.OneToOneField(LegalHold, models.PROTECT, related_name="opened_with")
    opened_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    opened_at = models.DateTimeField(_("opened"))

    class Meta:
        """Indexes."""

        indexes = [models.Index(fields=["plant", "opened_at"], name="incident_by_plant")]

    def __str__(self) -> str:
        """Return the incident number."""
        return self.number
