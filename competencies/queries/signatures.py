"""Signatures as they stand in the ledger: who, what it says, when; and what was written down beside them."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from competencies.ledger.reading import opened, read_entry
from competencies.ledger.schema import TextKind
from competencies.models import LedgerEntry
from competencies.vocabulary import AuthorityKind, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """One signed entry. `name` is the name that was true at signing ("" where it has been erased).

    `signed_at` and `happened_at` are in the plant's zone. `texts` are what was typed, by TextKind.
    """

    seq: int
    person_id: int
    name: str
    meaning: Meaning
    role: AuthorityKind | None
    signed_at: datetime
    happened_at: datetime
    entry: Mapping[str, Any]
    texts: Mapping[str, str] = field(default_factory=dict)


def signatures(seqs: Collection[int]) -> dict[int, Signature]:
    """Return the signatures of these entries by their place, in order. Two queries."""
    entries = [read_entry(row) for row in LedgerEntry.objects.filter(seq__in=seqs).order_by("seq")]
    keys = ("actor_name", *TextKind)
    texts = opened([entry[key] for entry in entries for key in keys if key in entry])
    return {entry["seq"]: _signature(entry, texts) for entry in entries if "actor" in entry and "meaning" in entry}


def _signature(entry: Mapping[str, Any], texts: Mapping[str, str]) -> Signature:
    zone = ZoneInfo(entry["tz"])
    role = entry.get("actor_role")
    return Signature(
        seq=entry["seq"],
        person_id=entry["actor"],
        name=texts.get(entry.get("actor_name", ""), ""),
        meaning=Meaning(entry["meaning"]),
        role=AuthorityKind(role) if role in set(AuthorityKind) else None,
        signed_at=entry["at"].astimezone(zone),
        happened_at=entry["happened_at"].astimezone(zone),
        entry=entry,
        texts={kind.value: texts[entry[kind]] for kind in TextKind if entry.get(kind) in texts},
    )
