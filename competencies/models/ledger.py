"""The ledger's tables: what happened, append-only; everything else can be rebuilt from it."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.place import Plant


class LedgerEntry(models.Model):
    """One entry: its bytes, its hash, and the hash of the entry before it. Nothing else lives here."""

    seq = models.BigIntegerField(primary_key=True)
    body = models.BinaryField()
    prev = models.BinaryField(max_length=32, unique=True)
    hash = models.BinaryField(max_length=32, unique=True)

    class Meta:
        """Table name."""

        db_table = "ledger_entry"
        verbose_name_plural = "ledger entries"

    def __str__(self) -> str:
        """Return the place in the ledger."""
        return str(self.seq)


class LedgerIndex(models.Model):
    """What a search needs of an entry; rebuilt from the bodies at will."""

    entry = models.OneToOneField(LedgerEntry, models.CASCADE, primary_key=True, db_column="seq", related_name="index")
    plant = models.ForeignKey(Plant, models.PROTECT, related_name="ledger_entries")
    kind = models.CharField(_("kind"), max_length=24)
    person = models.BigIntegerField(_("person"), null=True, blank=True)
    actor = models.BigIntegerField(_("by"), null=True, blank=True)
    task = models.CharField(_("task"), max_length=20, blank=True)
    scope = models.CharField(_("scope"), max_length=21, blank=True)
    revision = models.PositiveIntegerField(_("revision"), null=True, blank=True)
    happened_at = models.DateTimeField(_("happened"))
    happened_on = models.DateField(_("day"))
    recorded_at = models.DateTimeField(_("recorded"))
    of = models.BigIntegerField(_("about entry"), null=True, blank=True)

    class Meta:
        """Table name and indexes, person first."""

        db_table = "ledger_index"
        verbose_name_plural = "ledger index"
        indexes = [
            models.Index(fields=["person", "task", "entry"], name="ledger_by_person"),
            models.Index(fields=["plant", "kind", "happened_on"], name="ledger_by_kind"),
            models.Index(fields=["of"], name="ledger_by_of"),
            models.Index(fields=["actor", "kind"], name="ledger_by_actor"),
        ]

    def __str__(self) -> str:
        """Return the place and the kind."""
        return f"{self.entry_id} {self.kind}"


class LedgerAnchor(models.Model):
    """The ledger's size and root at a moment, kept so that a cut tail or a rewrite shows."""

    size = models.BigIntegerField()
    root = models.BinaryField(max_length=32)
    at = models.DateTimeField()
    why = models.CharField(max_length=20)

    class Meta:
        """Table name."""

        db_table = "ledger_anchor"

    def __str__(self) -> str:
        """Return the size."""
        return str(self.size)


class Detached(models.Model):
    """A name or a text that an entry only commits to; it can be erased and the ledger still verifies."""

    digest = models.BinaryField(max_length=32, unique=True)
    person = models.BigIntegerField(null=True, blank=True, db_index=True)
    kind = models.CharField(max_length=20)
    salt = models.BinaryField(max_length=16)
    value = models.TextField()

    class Meta:
        """Table name."""

        db_table = "ledger_detached"
        verbose_name_plural = "detached"

    def __str__(self) -> str:
        """Return the kind."""
        return self.kind
