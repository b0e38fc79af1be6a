"""The journal of the ledger: its size and proofs, and its entries, newest first."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import connection
from django.db.models import QuerySet

from competencies.ledger.guards import guard_faults, setting_faults, settings_in_force
from competencies.models import LedgerAnchor, LedgerEntry, LedgerIndex, Person, Plant
from competencies.queries.frame import frame_of
from competencies.queries.signatures import Signature, signatures
from competencies.queries.standing import end_of_day
from competencies.standing.framework import Frame
from competencies.standing.live import recorded_late_on


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerState:
    """The ledger as it stands: entries, hash of the last, the newest anchor, what is wrong with the guards."""

    size: int
    head: str
    anchor: LedgerAnchor | None
    guard_faults: Sequence[str]
    settings: Mapping[str, str]
    setting_faults: Sequence[str]


def ledger_state() -> LedgerState:
    """Return the state of the ledger without reading it all."""
    last = LedgerEntry.objects.order_by("-seq").first()
    return LedgerState(
        size=last.seq + 1 if last else 0,
        head=bytes(last.hash).hex() if last else "",
        anchor=LedgerAnchor.objects.order_by("-at").first(),
        guard_faults=guard_faults(connection),
        settings=settings_in_force(connection),
        setting_faults=setting_faults(connection),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class JournalLine:
    """One entry in the journal."""

    row: LedgerIndex
    person: str
    actor: str
    is_late: bool
    corrected_by: int | None


def journal_rows(plant: Plant, asked: Mapping[str, Any]) -> QuerySet[LedgerIndex]:
    """Return the plant's entries that a search asks for, newest first.

    `asked` may hold kind, text (a person), from_on, until_on; known_on leaves out what was recorded after that day.
    """
    rows = LedgerIndex.objects.filter(plant=plant)
    if kind := asked.get("kind"):
        rows = rows.filter(kind=kind)
    if text := asked.get("text"):
        people = Person.objects.filter(plant=plant, name__icontains=text).values("pk")
        numbered = Person.objects.filter(plant=plant, works_number=text).values("pk")
        rows = rows.filter(person__in=people) | rows.filter(person__in=numbered)
    if from_on := asked.get("from_on"):
        rows = rows.filter(happened_on__gte=from_on)
    if until_on := asked.get("until_on"):
        rows = rows.filter(happened_on__lte=until_on)
    if known_on := asked.get("known_on"):
        rows = rows.filter(recorded_at__lte=end_of_day(known_on, plant))
    return rows.order_by("-entry")


def journal_lines(rows: Sequence[LedgerIndex], plant: Plant, *, known_on: date | None = None) -> list[JournalLine]:
    """Return the entries with names, and whether they were late or corrected, as known. A fixed number of queries."""
    seqs = [row.pk for row in rows]
    frame = frame_of(plant)
    signed = signatures(seqs)
    corrections = LedgerIndex.objects.filter(kind="correction", of__in=seqs)
    if known_on is not None:
        corrections = corrections.filter(recorded_at__lte=end_of_day(known_on, plant))
    struck = dict(corrections.values_list("of", "entry_id"))
    names = dict(Person.objects.filter(plant=plant, pk__in={row.person for row in rows}).values_list("pk", "name"))
    return [
        JournalLine(
            row=row,
            person=names.get(row.person or 0, ""),
            actor=signed[row.pk].name if row.pk in signed else "",
            is_late=_is_late(frame, row, signed),
            corrected_by=struck.get(row.pk),
        )
        for row in rows
    ]


def _is_late(frame: Frame, row: LedgerIndex, signed: Mapping[int, Signature]) -> bool:
    """Whether an entry was written down late; one that was made in place of a wrong one is not late for that."""
    first = signed[row.pk].entry.get("first_recorded_at") if row.pk in signed else None
    written_at = first or row.recorded_at
    return recorded_late_on(frame, happened_on=row.happened_on, recorded_at=written_at) is not None
