"""Turns stored bodies into the facts that the rule reads, and facts into the fields of a body."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import MISSING, fields
from typing import Any, Final

from competencies.ledger.canonical import Body, commitment, decode, parse
from competencies.ledger.schema import kind_of, read_body, read_field
from competencies.models import Detached, LedgerEntry
from competencies.standing import facts
from competencies.standing.facts import SITE, Fact
from competencies.vocabulary import EntryKind

# The kinds that the rule reads; the others are about the plant, about rights, or about erasing.
FACTS: Final[Mapping[EntryKind, type[Fact]]] = {
    EntryKind.RUN: facts.Run,
    EntryKind.RUN_ACCEPTED: facts.RunAccepted,
    EntryKind.CHECK: facts.Check,
    EntryKind.ASSESSMENT: facts.Assessment,
    EntryKind.SECOND_SIGNATURE: facts.SecondSignature,
    EntryKind.ACKNOWLEDGEMENT: facts.Acknowledgement,
    EntryKind.RECOGNITION: facts.Recognition,
    EntryKind.PERFORMANCE: facts.Performance,
    EntryKind.SUSPENSION: facts.Suspension,
    EntryKind.LIFTING: facts.Lifting,
    EntryKind.WITHDRAWAL: facts.Withdrawal,
    EntryKind.CHECK_OWED: facts.CheckOwed,
    EntryKind.ANNULMENT: facts.Annulment,
    EntryKind.REVIEW: facts.Review,
    EntryKind.REVERIFICATION: facts.Reverification,
    EntryKind.CORRECTION: facts.Correction,
    EntryKind.ATTEMPTS_REVIEWED: facts.AttemptsReviewed,
    EntryKind.OUTCOME_SEEN: facts.OutcomeSeen,
    EntryKind.APPEAL: facts.Appeal,
    EntryKind.CONFLICT: facts.Conflict,
    EntryKind.EMPLOYMENT: facts.Employment,
    EntryKind.PEOPLE_JOINED: facts.PeopleJoined,
    EntryKind.PEOPLE_PARTED: facts.PeopleParted,
    EntryKind.ABSENCE: facts.Absence,
    EntryKind.INITIAL_TRAINER: facts.InitialTrainer,
    EntryKind.UNIT_DECISION: facts.UnitDecision,
    EntryKind.UNIT_REPORTED: facts.UnitReported,
    EntryKind.MODERATION: facts.Moderation,
}
KINDS: Final = {fact: kind for kind, fact in FACTS.items()}

# Where a field of every fact stands in a body; a fact's own fields stand under their own names.
KEYS: Final = {"person": "subject", "recorded_at": "at", "on": "happened_on"}
# The ledger itself gives these when the entry is appended.
GIVEN_BY_LEDGER: Final = frozenset({"seq", "recorded_at"})
OWN_FIELDS: Final = {
    kind: tuple((field.name, KEYS.get(field.name, field.name)) for field in fields(fact) if field.name != "by")
    for kind, fact in FACTS.items()
}
# A body leaves out what is not known: None for each field that has no default of its own.
ABSENT: Final = {
    kind: {
        field.name: None
        for field in fields(fact)
        if field.default is MISSING and field.default_factory is MISSING and field.name != "by"
    }
    for kind, fact in FACTS.items()
}


def facts_of(entries: Iterable[LedgerEntry]) -> list[Fact]:
    """Return the facts that the entries tell, in the order given; entries that the rule does not read are left out."""
    return [fact for entry in entries if (fact := fact_of(parse(bytes(entry.body)))) is not None]


def fact_of(body: Body) -> Fact | None:
    """Return the fact that a body tells, or None where the rule reads nothing. Raises SchemaError for a bad body."""
    kind = kind_of(body)
    if kind not in FACTS or "subject" not in body:
        return None
    values = {name: read_field(kind, key, body[key]) for name, key in OWN_FIELDS[kind] if key in body}
    by = body.get("by", body.get("actor"))
    return FACTS[kind](**{**ABSENT[kind], **values}, by=by)


def fields_of(fact: Fact) -> tuple[EntryKind, dict[str, Any]]:
    """Return the kind of entry that tells this fact, and its fields as `append` takes them.

    What the ledger gives (place, moment of recording) is left out, and so is whatever is empty.
    """
    kind = KINDS[type(fact)]
    names = [*OWN_FIELDS[kind], ("by", "by")]
    values = {key: getattr(fact, name) for name, key in names if name not in GIVEN_BY_LEDGER}
    return kind, {key: value for key, value in values.items() if not _is_empty(value)}


def read_entry(entry: LedgerEntry) -> dict[str, Any]:
    """Return everything an entry holds, by key, in the program's own types."""
    return read_body(decode(bytes(entry.body)))


def opened(digests: Collection[str]) -> Mapping[str, str]:
    """Return the names and texts behind the commitments, by digest; what was erased is not in it. One query.

    A value that does not fit its own commitment was tampered with and is left out as well.
    """
    rows = Detached.objects.filter(digest__in=[bytes.fromhex(digest) for digest in digests])
    return {
        bytes(row.digest).hex(): row.value
        for row in rows
        if commitment(bytes(row.salt), row.kind, row.value) == bytes(row.digest)
    }


def _is_empty(value: object) -> bool:
    return value is None or value in ("", SITE)
