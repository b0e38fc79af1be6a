"""The tables of the ledger: what was signed, how it is found again, and what may be erased.

Only `ledger_entry` and `ledger_anchor` are evidence, and the database itself refuses to change them.
`ledger_index` repeats what stands in the bodies so that it can be searched, and is rebuilt at will.
"""

from collections.abc import Collection
from datetime import datetime
from typing import Self

from django.db import models
from django.db.models.functions import Length
from django.db.models.lookups import Exact


class LedgerEntry(models.Model):
    """One entry: the signed bytes, the hash of the entry before, and the hash of these bytes."""

    seq = models.BigIntegerField(primary_key=True)
    body = models.BinaryField()
    prev = models.BinaryField(max_length=32, unique=True)
    hash = models.BinaryField(max_length=32, unique=True)

    class Meta:
        """The table's name and what must never be stored."""

        db_table = "ledger_entry"
        constraints = [
            models.CheckConstraint(condition=models.Q(seq__gte=0), name="ledger_entry_seq_from_0"),
            models.CheckConstraint(condition=Exact(Length("prev"), 32), name="ledger_entry_prev_32_bytes"),
            models.CheckConstraint(condition=Exact(Length("hash"), 32), name="ledger_entry_hash_32_bytes"),
        ]

    def __str__(self) -> str:
        """Return the place in the ledger."""
        return f"#{self.seq}"


class LedgerIndexQuerySet(models.QuerySet["LedgerIndex"]):
    """Filters on what an entry is about."""

    def about(self, persons: Collection[int]) -> Self:
        """Return the entries about these person numbers."""
        return self.filter(person__in=persons)

    def known_at(self, moment: datetime) -> Self:
        """Return the entries that had been written down by `moment`."""
        return self.filter(recorded_at__lte=moment)

    def on_task(self, task: str) -> Self:
        """Return the entries about this task."""
        return self.filter(task=task)


class LedgerIndex(models.Model):
    """What an entry is about, copied from its body so that it can be searched.

    `person` is the number of the person it is about, `actor` of the person who acted on the floor.
    `of` is the place of the entry that this one signs, lifts or corrects; `other` is a second person it tells of.
    """

    entry = models.OneToOneField(
        LedgerEntry, on_delete=models.PROTECT, primary_key=True, db_column="seq", related_name="index"
    )
    plant = models.ForeignKey("competencies.Plant", on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=30)
    person = models.BigIntegerField(null=True)
    actor = models.BigIntegerField(null=True)
    other = models.BigIntegerField(null=True)
    task = models.CharField(max_length=20, blank=True)
    scope = models.CharField(max_length=41, blank=True)
    happened_at = models.DateTimeField()
    happened_on = models.DateField()
    recorded_at = models.DateTimeField()
    of = models.BigIntegerField(null=True)
    revision = models.PositiveIntegerField(null=True)
    token = models.CharField(max_length=64, null=True, unique=True)  # noqa: DJ001 - once, or none

    objects = LedgerIndexQuerySet.as_manager()

    class Meta:
        """The table's name; the first index answers the usual question without touching the table."""

        db_table = "ledger_index"
        indexes = [
            models.Index(
                fields=["person", "task", "scope", "happened_at", "recorded_at", "kind", "of", "entry"],
                name="ledger_index_person",
            ),
            models.Index(fields=["actor", "kind", "happened_at"], name="ledger_index_actor"),
            models.Index(fields=["plant", "task", "happened_on"], name="ledger_index_task"),
            models.Index(fields=["plant", "recorded_at"], name="ledger_index_recorded"),
            models.Index(fields=["of", "kind"], name="ledger_index_of"),
            models.Index(fields=["other", "kind"], name="ledger_index_other"),
        ]

    def __str__(self) -> str:
        """Return the place and the kind."""
        return f"#{self.pk} {self.kind}"


class LedgerAnchor(models.Model):
    """The root over the first `size` entries at a moment: what leaves the house and is compared later.

    `why` is a code: daily, print, backup, migration, restore.
    """

    size = models.BigIntegerField()
    root = models.BinaryField(max_length=32)
    at = models.DateTimeField()
    why = models.CharField(max_length=20)

    class Meta:
        """The table's name and what must never be stored."""

        db_table = "ledger_anchor"
        constraints = [
            models.CheckConstraint(condition=models.Q(size__gte=0), name="ledger_anchor_size_from_0"),
            models.CheckConstraint(condition=Exact(Length("root"), 32), name="ledger_anchor_root_32_bytes"),
        ]
        indexes = [models.Index(fields=["size"], name="ledger_anchor_by_size")]

    def __str__(self) -> str:
        """Return the size and the start of the root."""
        return f"{self.size}: {bytes(self.root).hex()[:16]}"


class Detached(models.Model):
    """A name or a typed text that an entry commits to by `digest` without holding it: it can be erased.

    `digest` is HMAC-SHA-256 with `salt` (16 random bytes) over the kind and the value.
    """

    digest = models.BinaryField(max_length=32, unique=True)
    person = models.BigIntegerField(null=True, db_index=True)
    kind = models.CharField(max_length=20)
    salt = models.BinaryField(max_length=16)
    value = models.TextField()

    class Meta:
        """The table's name."""

        db_table = "ledger_detached"

    def __str__(self) -> str:
        """Return the start of the digest; never the value."""
        return bytes(self.digest).hex()[:16]
