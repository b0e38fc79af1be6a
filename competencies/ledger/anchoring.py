"""Keeps the root over all entries at a moment, so that a cut tail or a rewrite shows later."""

from datetime import datetime
from enum import StrEnum

from competencies.ledger import merkle
from competencies.models import LedgerAnchor, LedgerEntry


class AnchorReason(StrEnum):
    """Why a root was kept. It should leave the house with the print, the backup or a message."""

    DAILY = "daily"
    PRINT = "print"
    BACKUP = "backup"
    MIGRATION = "migration"
    RESTORE = "restore"


def anchor_ledger(*, at: datetime, why: AnchorReason) -> LedgerAnchor:
    """Keep and return the size and root of the ledger as it is now."""
    tree = merkle.Accumulator()
    for leaf in LedgerEntry.objects.order_by("seq").values_list("hash", flat=True).iterator(chunk_size=10_000):
        tree.add(bytes(leaf))
    return LedgerAnchor.objects.create(size=tree.size, root=tree.root(), at=at, why=why.value)
