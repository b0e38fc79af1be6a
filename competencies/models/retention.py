"""What keeps a record from being erased: legal holds."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import Task
from competencies.models.people import Person
from competencies.models.place import Line, Plant


class LegalHold(models.Model):
    """Nothing that an open hold covers is erased. Set and ended through the ledger, by two different people.

    What is left open covers everything: no people means everybody, no task every task, no line every line; a day
    that is None leaves the period open at that end.
    """

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="legal_holds")
    incident = models.CharField(_("incident number"), max_length=40)
    people = models.ManyToManyField(Person, related_name="legal_holds", blank=True)
    task = models.ForeignKey(Task, models.PROTECT, null=True, blank=True, related_name="legal_holds")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="legal_holds")
    from_on = models.DateField(_("from"), null=True, blank=True)
    until_on = models.DateField(_("until"), null=True, blank=True)
    set_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    set_at = models.DateTimeField(_("set"))
    entry_seq = models.BigIntegerField(_("ledger entry"))
    ended_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    ended_at = models.DateTimeField(_("ended"), null=True, blank=True)
    ended_entry_seq = models.BigIntegerField(_("ledger entry that ended it"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [
            models.CheckConstraint(
                condition=models.Q(from_on=None)
                | models.Q(until_on=None)
                | models.Q(until_on__gte=models.F("from_on")),
                name="hold_in_order",
            ),
            models.CheckConstraint(
                condition=models.Q(ended_by=None) | ~models.Q(ended_by=models.F("set_by")),
                name="hold_ended_by_another",
            ),
        ]
        indexes = [models.Index(fields=["plant", "ended_at"], name="hold_by_plant")]

    def __str__(self) -> str:
        """Return the incident number."""
        return self.incident
