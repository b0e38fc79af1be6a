"""Ways in without a sign-in: the secret address of a person's calendar, and keys for other programs."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Plant


class CalendarAddress(models.Model):
    """The secret address of a person's calendar. The secret itself is kept nowhere, only its digest."""

    person = models.OneToOneField(Person, models.CASCADE, related_name="calendar_address")
    digest = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField(_("made at"))

    def __str__(self) -> str:
        """Return whose it is."""
        return str(self.person_id)


class AccessKey(models.Model):
    """A key by which another program reads of the plant: what it may read, until when. Only its digest is kept."""

    plant = models.ForeignKey(Plant, models.CASCADE, related_name="access_keys")
    title = models.CharField(_("what it is for"), max_length=80)
    digest = models.CharField(max_length=64, unique=True)
    scopes = models.JSONField(_("may read"), default=list)
    made_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(_("made at"))
    expires_at = models.DateTimeField(_("ends at"))
    used_at = models.DateTimeField(_("last used"), null=True, blank=True)
    revoked_at = models.DateTimeField(_("revoked at"), null=True, blank=True)
    revoked_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        """Indexes."""

        indexes = [models.Index(fields=["plant", "made_at"], name="access_key_by_plant")]

    def __str__(self) -> str:
        """Return what it is for."""
        return self.title
