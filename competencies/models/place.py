"""The plant and its parts. A database may hold a group of plants, so every row says whose it is."""

import secrets

from django.db import models
from django.utils.translation import gettext_lazy as _


def new_stamp() -> str:
    """Return a stamp that was never used before."""
    return secrets.token_hex(8)


class Plant(models.Model):
    """A site with its own people, calendar, language and policy.

    `frame_stamp` changes whenever tasks, terms, revisions, shifts or policy do, so that what was read of them
    may be kept in memory until then.
    """

    code = models.SlugField(_("code"), max_length=20, unique=True)
    name = models.CharField(_("name"), max_length=120)
    address = models.TextField(_("address"), blank=True)
    timezone = models.CharField(_("time zone"), max_length=60, default="Europe/Dublin")
    language = models.CharField(_("language"), max_length=10, default="en-gb")
    frame_stamp = models.CharField(max_length=16, default=new_stamp, editable=False)

    def __str__(self) -> str:
        """Return the plant's name."""
        return self.name


class PlantPolicy(models.Model):
    """The plant's settings from a day on: only those that differ from the trade's usual figures are kept."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="policies")
    effective_on = models.DateField(_("from"))
    recorded_at = models.DateTimeField(_("recorded"))
    settings = models.JSONField(_("settings"), default=dict, blank=True)
    entry_seq = models.BigIntegerField(_("ledger entry"), null=True, blank=True)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "effective_on", "recorded_at"], name="policy_once")]

    def __str__(self) -> str:
        """Return the plant and the first day."""
        return f"{self.plant_id} {self.effective_on}"


class Area(models.Model):
    """A part of the plant that a set of tasks belongs to."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="areas")
    code = models.CharField(_("code"), max_length=10)
    title = models.CharField(_("title"), max_length=120)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code"], name="area_code_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title


class Line(models.Model):
    """A production line, or a part of the plant that is manned like one (brewhouse, cellar)."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="lines")
    code = models.CharField(_("code"), max_length=10)
    title = models.CharField(_("title"), max_length=120)
    trainee_limit = models.PositiveSmallIntegerField(_("most trainees at once"), default=2)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code"], name="line_code_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title


class Machine(models.Model):
    """A machine type at a line."""

    line = models.ForeignKey(Line, models.PROTECT, related_name="machines")
    code = models.CharField(_("code"), max_length=10)
    title = models.CharField(_("title"), max_length=120)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["line", "code"], name="machine_code_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title


class Crew(models.Model):
    """A group of people that works a shift pattern together."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="crews")
    code = models.CharField(_("code"), max_length=10)
    title = models.CharField(_("title"), max_length=120)

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "code"], name="crew_code_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title


class Shift(models.Model):
    """A shift of the day. It belongs to the date it starts on; one that ends at or before its start ends next day."""

    plant = models.ForeignKey(Plant, models.PROTECT, related_name="shifts")
    name = models.CharField(_("name"), max_length=20)
    title = models.CharField(_("title"), max_length=60)
    starts = models.TimeField(_("starts"))
    ends = models.TimeField(_("ends"))

    class Meta:
        """Constraints."""

        constraints = [models.UniqueConstraint(fields=["plant", "name"], name="shift_name_once")]

    def __str__(self) -> str:
        """Return the title."""
        return self.title
