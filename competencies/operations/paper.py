"""Registers what is printed, so that a sheet can be checked against the ledger for as long as there is one."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from django.db import transaction

from competencies.ledger.anchoring import AnchorReason, anchor_ledger
from competencies.ledger.canonical import FIRST_PREV
from competencies.models import LedgerAnchor, LedgerEntry, Person, Plant, PrintedSheet, Task
from competencies.queries.explanation import Explanation, digest_of_explanation
from competencies.queries.records import ProgressRecord, digest_of
from competencies.vocabulary import SheetKind

RECORD: Final = "record"


@dataclass(frozen=True, slots=True)
class Registered:
    """A sheet, and the root over the whole ledger that was kept when it was printed."""

    sheet: PrintedSheet
    anchor: LedgerAnchor


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """What a sheet states, a line each, for the day `as_of`; people by number, so that no name is kept."""

    kind: SheetKind
    as_of: date
    lines: tuple[str, ...]
    task: Task | None = None

    @property
    def digest(self) -> str:
        """Return the SHA-256 of the kind, the day and the lines, in 64 hexadecimal digits."""
        text = "\n".join([self.kind.value, self.as_of.isoformat(), *self.lines])
        return hashlib.sha256(text.encode()).hexdigest()


@transaction.atomic
def register_sheet(*, record: ProgressRecord, printed_by: Person | None, now: datetime) -> Registered:
    """Register one record that is about to be printed, and keep the ledger's root as it is now (why: print)."""
    return register_sheets(records=[record], printed_by=printed_by, now=now)[0]


@transaction.atomic
def register_sheets(
    *, records: Sequence[ProgressRecord], printed_by: Person | None, now: datetime
) -> list[Registered]:
    """Register the records of one print job, in the order given: a sheet each, and one root for all of them.

    A sheet keeps the digest of what its record states, the number of entries it was read from, and the hash of the
    last of those.
    """
    anchor = anchor_ledger(at=now, why=AnchorReason.PRINT)
    heads = _heads({record.size for record in records})
    sheets = [
        PrintedSheet(
            plant=record.person.plant,
            kind=RECORD,
            person=record.person,
            as_of=record.as_of,
            printed_at=now,
            printed_by=printed_by,
            digest=digest_of(record),
            ledger_size=record.size,
            ledger_head=heads[record.size],
        )
        for record in records
    ]
    PrintedSheet.objects.bulk_create(sheets)
    return [Registered(sheet, anchor) for sheet in sheets]


@transaction.atomic
def register_explanation(
    *, explained: Explanation, printed_by: Person | None, now: datetime, kind: SheetKind = SheetKind.STANDING
) -> Registered:
    """Register a sheet that states a standing and is about to be printed, and keep the ledger's root as it is now.

    `kind` is one that is worked out again when it is checked.
    """
    anchor = anchor_ledger(at=now, why=AnchorReason.PRINT)
    sheet = PrintedSheet.objects.create(
        plant=explained.person.plant,
        kind=kind.value,
        person=explained.person,
        task=explained.task,
        scope=str(explained.scope),
        moment=explained.moment,
        as_of=explained.as_of,
        printed_at=now,
        printed_by=printed_by,
        digest=digest_of_explanation(explained),
        ledger_size=explained.size,
        ledger_head=_heads({explained.size})[explained.size],
    )
    return Registered(sheet, anchor)


@transaction.atomic
def register_statement(*, statement: Statement, plant: Plant, printed_by: Person | None, now: datetime) -> Registered:
    """Register a sheet that is not worked out again: what it states is kept as a digest, with the ledger's root."""
    anchor = anchor_ledger(at=now, why=AnchorReason.PRINT)
    sheet = PrintedSheet.objects.create(
        plant=plant,
        kind=statement.kind.value,
        task=statement.task,
        as_of=statement.as_of,
        printed_at=now,
        printed_by=printed_by,
        digest=statement.digest,
        ledger_size=anchor.size,
        ledger_head=_heads({anchor.size})[anchor.size],
    )
    return Registered(sheet, anchor)


def head_of(size: int) -> str:
    """Return the hash of the last of the first `size` entries, in hexadecimal digits."""
    return _heads({size})[size]


def _heads(sizes: set[int]) -> dict[int, str]:
    """Return for each number of entries the hash of the last one, in hexadecimal digits."""
    rows = LedgerEntry.objects.filter(seq__in=[size - 1 for size in sizes]).values_list("seq", "hash")
    found = {seq + 1: bytes(digest).hex() for seq, digest in rows}
    return {0: FIRST_PREV.hex(), **found}
