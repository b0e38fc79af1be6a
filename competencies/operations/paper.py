"""Registers what is printed, so that a sheet can be checked against the ledger for as long as there is one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from django.db import transaction

from competencies.ledger.anchoring import AnchorReason, anchor_ledger
from competencies.ledger.canonical import FIRST_PREV
from competencies.models import LedgerAnchor, LedgerEntry, Person, PrintedSheet
from competencies.queries.explanation import EXPLAINED, Explanation, digest_of_explanation
from competencies.queries.records import ProgressRecord, digest_of

RECORD: Final = "record"


@dataclass(frozen=True, slots=True)
class Registered:
    """A sheet, and the root over the whole ledger that was kept when it was printed."""

    sheet: PrintedSheet
    anchor: LedgerAnchor


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
def register_explanation(*, explained: Explanation, printed_by: Person | None, now: datetime) -> Registered:
    """Register the explanation of a standing that is about to be printed, and keep the ledger's root as it is now."""
    anchor = anchor_ledger(at=now, why=AnchorReason.PRINT)
    sheet = PrintedSheet.objects.create(
        plant=explained.person.plant,
        kind=EXPLAINED,
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


def _heads(sizes: set[int]) -> dict[int, str]:
    """Return for each number of entries the hash of the last one, in hexadecimal digits."""
    rows = LedgerEntry.objects.filter(seq__in=[size - 1 for size in sizes]).values_list("seq", "hash")
    found = {seq + 1: bytes(digest).hex() for seq, digest in rows}
    return {0: FIRST_PREV.hex(), **found}
