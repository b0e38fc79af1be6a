"""What the search table holds of an entry: always made from its body, so that it can be made again."""

from typing import Any, Final

from competencies.ledger.canonical import Body, decode
from competencies.ledger.schema import kind_of, read_field
from competencies.models import LedgerEntry, LedgerIndex

CHUNK: Final = 1000
COLUMNS: Final = (
    "plant_id",
    "kind",
    "person",
    "actor",
    "other",
    "task",
    "scope",
    "happened_at",
    "happened_on",
    "recorded_at",
    "of",
    "revision",
    "token",
)


def index_values(body: Body) -> dict[str, Any]:
    """Return the columns of the search table for a body; SchemaError when the body does not fit its kind."""
    kind = kind_of(body)
    return {
        "plant_id": body["plant"],
        "kind": kind.value,
        "person": body.get("subject"),
        "actor": body.get("by", body.get("actor")),
        "other": body.get("other"),
        "task": body.get("task", ""),
        "scope": body.get("scope", ""),
        "happened_at": read_field(kind, "happened_at", body["happened_at"]),
        "happened_on": read_field(kind, "happened_on", body["happened_on"]),
        "recorded_at": read_field(kind, "at", body["at"]),
        "of": body.get("of"),
        "revision": body.get("revision"),
        "token": body.get("token"),
    }


def rebuild_index() -> int:
    """Drop the search table and make it again from the bodies; returns how many. Call in a transaction."""
    LedgerIndex.objects.all().delete()
    count = 0
    rows: list[LedgerIndex] = []
    for entry in LedgerEntry.objects.order_by("seq").iterator(chunk_size=CHUNK):
        rows.append(LedgerIndex(entry_id=entry.seq, **index_values(decode(bytes(entry.body)))))
        count += 1
        if len(rows) == CHUNK:
            LedgerIndex.objects.bulk_create(rows)
            rows.clear()
    LedgerIndex.objects.bulk_create(rows)
    return count
