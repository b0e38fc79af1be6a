"""Appends to the ledger: the only code that writes an entry, and only while it holds the ledger's lock."""

import secrets
import threading
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.db import connection, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from competencies.ledger.canonical import (
    FIRST_PREV,
    FORMAT_VERSION,
    SALT_BYTES,
    Body,
    commitment,
    decode,
    encode,
    entry_hash,
)
from competencies.ledger.guards import require_guards
from competencies.ledger.indexing import index_values
from competencies.ledger.queueing import turn_at
from competencies.ledger.schema import (
    COMMITMENT_KEYS,
    NAME_KEYS,
    PersonRole,
    SchemaError,
    TextKind,
    check_keys,
    write_field,
)
from competencies.models import Detached, LedgerEntry, LedgerIndex, Plant
from competencies.vocabulary import EntryKind

# Any fixed number will do, as long as nothing else in the database takes the same advisory lock.
ADVISORY_LOCK: Final = 0x1ED6E12A9935C0DE
LEDGER_KEYS: Final = frozenset({"v", "seq", "prev", "kind", "at", "plant", "tz", "clock_back"})
# A form that is posted again asks for the same entry: these keys must then agree.
SAME_FORM: Final = ("kind", "subject", "actor", "task", "scope", "of")

Names = Mapping[str, tuple[int, str]]

_held = threading.local()


class LedgerError(Exception):
    """The entry cannot be appended; nothing was written."""


class TokenReusedError(LedgerError):
    """The form's token already stands in the ledger, under an entry about something else."""


@dataclass(frozen=True, slots=True)
class Appended:
    """An entry's place and hash. `repeated`: it was there already, from the same form posted before."""

    seq: int
    hash: bytes
    repeated: bool = False


@dataclass(frozen=True, slots=True)
class _Head:
    """The last entry: its place, its hash and when it was written down."""

    seq: int
    hash: bytes
    at: str


@contextmanager
def writing() -> Iterator[None]:
    """Open a transaction in which entries may be appended; also usable as a decorator.

    One writer at a time: SQLite's BEGIN IMMEDIATE, with a queue in front of it so that nobody starves;
    PostgreSQL's advisory lock, taken by the first statement. Make slow checks (a PIN) before, not inside.
    Raises LedgerGuardError when anything that keeps the ledger from being changed is missing.
    """
    if getattr(_held, "is_held", False):
        with transaction.atomic():
            yield
        return
    with ExitStack() as stack:
        stack.enter_context(_queue(connection))
        stack.enter_context(transaction.atomic())
        _lock(connection)
        require_guards(connection)
        stack.enter_context(_holding())
        yield


def append(
    *,
    kind: EntryKind,
    plant: Plant,
    at: datetime,
    fields: Mapping[str, Any],
    texts: Mapping[str, str] | None = None,
    names: Names | None = None,
) -> Appended:
    """Append one entry, its search row and its detached texts; call inside `writing()`.

    `at` is the server's moment. `fields` are the keys of the kind (see `schema`) with the program's own values;
    `happened_at` is `at` unless given, and `happened_on` the plant's date at that moment. `texts` are what a
    person typed, by TextKind; `names` the number and the name of those who take part, by PersonRole: only
    commitments to them go into the entry. A field that is None is left out.

    With a `token`, a form posted twice gives the same entry, `repeated`. Raises LedgerError outside `writing()`,
    SchemaError for a key or a value that is not allowed, TokenReusedError.
    """
    if not getattr(_held, "is_held", False):
        raise LedgerError("an entry is appended inside writing()")
    given = {key: value for key, value in fields.items() if value is not None}
    _refuse_given(kind, given)
    body = _fields_in(kind, plant, at, given)
    body.update(_numbers_of(names or {}, body))
    earlier = _appended_before(kind, body)
    if earlier is not None:
        return earlier
    detached = _detach(texts or {}, names or {}, body)
    return _store(body, at, detached)


def appended_under(token: str) -> Appended | None:
    """Return the entry that was appended with this form token, or None."""
    rows = LedgerEntry.objects.filter(index__token=token).values_list("seq", "hash")
    return next((Appended(seq, bytes(digest), repeated=True) for seq, digest in rows), None)


def _queue(database: BaseDatabaseWrapper) -> AbstractContextManager[None]:
    """Wait for one's turn, unless the database is held already: waiting then could wait for itself."""
    if database.vendor != "sqlite" or database.in_atomic_block or database.is_in_memory_db():  # type: ignore[attr-defined]  # SQLite's own
        return nullcontext()
    return turn_at(Path(f"{database.settings_dict['NAME']}.queue"))


def _lock(database: BaseDatabaseWrapper) -> None:
    if database.vendor == "postgresql":
        with database.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [ADVISORY_LOCK])


@contextmanager
def _holding() -> Iterator[None]:
    _held.is_held = True
    try:
        yield
    finally:
        _held.is_held = False


def _refuse_given(kind: EntryKind, fields: Mapping[str, Any]) -> None:
    if misplaced := fields.keys() & (LEDGER_KEYS | COMMITMENT_KEYS):
        raise SchemaError(f"{kind}: {', '.join(sorted(misplaced))} cannot be given as a field")


def _fields_in(kind: EntryKind, plant: Plant, at: datetime, fields: Mapping[str, Any]) -> Body:
    happened_at = fields.get("happened_at", at)
    if happened_at > at:
        raise LedgerError("what has not happened yet cannot be recorded")
    values = {
        "kind": kind,
        "plant": plant.pk,
        "tz": plant.timezone,
        "at": at,
        "happened_at": happened_at,
        "happened_on": happened_at.astimezone(ZoneInfo(plant.timezone)).date(),
        **fields,
    }
    if values.get("by") == values.get("actor"):
        values.pop("by", None)
    return {key: write_field(kind, key, value) for key, value in values.items()}


def _numbers_of(names: Names, body: Body) -> Body:
    numbers: Body = {}
    for role, (number, _) in names.items():
        key = PersonRole(role).value
        if body.get(key, number) != number:
            raise LedgerError(f"the name given for {key} belongs to another person")
        numbers[key] = number
    return numbers


def _appended_before(kind: EntryKind, body: Body) -> Appended | None:
    token = body.get("token")
    earlier = appended_under(token) if isinstance(token, str) else None
    if earlier is None:
        return None
    before = decode(bytes(LedgerEntry.objects.get(seq=earlier.seq).body))
    if any(before.get(key) != body.get(key) for key in SAME_FORM):
        raise TokenReusedError(f"the token of this {kind} stands under entry {earlier.seq}, which says something else")
    return earlier


def _detach(texts: Mapping[str, str], names: Names, body: Body) -> list[Detached]:
    """Return the rows that hold texts and names, and put the commitments to them into the body."""
    subject = body.get("subject")
    rows = {NAME_KEYS[PersonRole(role)]: _detached("name", number, name) for role, (number, name) in names.items()}
    for text_kind, text in texts.items():
        key = TextKind(text_kind).value
        rows[key] = _detached(key, subject if isinstance(subject, int) else None, text)
    body.update({key: row.digest.hex() for key, row in rows.items()})
    return list(rows.values())


def _detached(kind: str, person: int | None, value: str) -> Detached:
    salt = secrets.token_bytes(SALT_BYTES)
    return Detached(digest=commitment(salt, kind, value), person=person, kind=kind, salt=salt, value=value)


def _store(body: Body, at: datetime, detached: list[Detached]) -> Appended:
    head = _head()
    # Moments are text that sorts by time.
    if head and body["at"] < head.at:
        body["clock_back"] = 1
    prev = head.hash if head else FIRST_PREV
    body |= {"v": FORMAT_VERSION, "seq": head.seq + 1 if head else 0, "prev": prev.hex()}
    check_keys(body)
    raw = encode(body)
    appended = Appended(body["seq"], entry_hash(raw))
    LedgerEntry(seq=appended.seq, body=raw, prev=prev, hash=appended.hash).save(force_insert=True)
    LedgerIndex(entry_id=appended.seq, **index_values(body)).save(force_insert=True)
    Detached.objects.bulk_create(detached)
    return appended


def _head() -> _Head | None:
    entry = LedgerEntry.objects.order_by("-seq").first()
    if entry is None:
        return None
    return _Head(entry.seq, bytes(entry.hash), str(decode(bytes(entry.body))["at"]))
