"""What was told to whom by e-mail, so that nothing is told twice."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Plant
from competencies.vocabulary import ReminderKind


class Reminder(models.Model):
    """One thing that one person was told. `about` says which thing in full: it is told once.

    `claimed_at` is noted before the e-mail goes, `sent_at` after. Where only the first stands, the process ended in
    between, and whether the e-mail went is not known; it is not sent again.
    """

    KINDS = [(kind.value, kind.value) for kind in ReminderKind]

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="reminders")
    person = models.ForeignKey(Person, models.CASCADE, related_name="reminders")
    kind = models.CharField(_("kind"), max_length=12, choices=KINDS)
    about = models.CharField(_("about"), max_length=100)
    says = models.CharField(_("task and place"), max_length=60, blank=True)
    day = models.DateField(_("day"))
    claimed_at = models.DateTimeField(_("begun at"))
    sent_at = models.DateTimeField(_("sent at"), null=True, blank=True)

    class Meta:
        """Constraints and indexes."""

        constraints = [models.UniqueConstraint(fields=["person", "kind", "about"], name="told_once")]
        indexes = [models.Index(fields=["plant", "-claimed_at"], name="reminder_log")]

    def __str__(self) -> str:
        """Return the kind and what it is about."""
        return f"{self.kind} {self.about}"
