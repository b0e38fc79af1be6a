"""Looks at the names and texts that entries commit to: each is there as it was, or was erased as an entry says."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Final, TypeVar, cast

from competencies.ledger.canonical import Body, commitment, decode
from competencies.ledger.chain import ChainError
from competencies.ledger.schema import NAME_KEYS, TextKind
from competencies.models import Detached, LedgerEntry
from competencies.vocabulary import EntryKind

CHUNK: Final = 1000
Item = TypeVar("Item")
# Under this rule the names go as well as the texts.
WHOLE_RECORD: Final = "record"


@dataclass(frozen=True, slots=True)
class Commitments:
    """How many names and texts are there as they were committed to, and how many were erased."""

    kept: int
    erased: int


@dataclass(frozen=True, slots=True)
class _Committed:
    """A commitment in an entry: its digest, and the person whose name or text it is (None: the plant's)."""

    seq: int
    key: str
    digest: bytes
    person: int | None


def verify_commitments() -> Commitments:
    """Compare every commitment with what is kept; ChainError at the first that is false.

    A value is false when it does not fit its digest, or when it is gone and no erasure of that person was entered
    after it. Call it after the chain was verified. Queries grow with the ledger, a fixed number each thousand entries.
    """
    erasures = _erasures()
    kept = erased = 0
    bodies = LedgerEntry.objects.order_by("seq").values_list("seq", "body").iterator(chunk_size=CHUNK)
    for chunk in _in_chunks(bodies):
        committed = [each for seq, raw in chunk for each in _committed(int(seq), decode(bytes(raw)))]
        there = _there([each.digest for each in committed])
        for each in committed:
            if each.digest in there:
                kept += 1
            elif _was_erased(each, erasures):
                erased += 1
            else:
                raise ChainError(each.seq, f"its {each.key} is gone, and no erasure says so")
    return Commitments(kept, erased)


def _in_chunks(items: Iterable[Item]) -> Iterator[list[Item]]:
    left = iter(items)
    while chunk := list(islice(left, CHUNK)):
        yield chunk


def _committed(seq: int, body: Body) -> Iterator[_Committed]:
    subject = cast("int | None", body.get("subject"))
    for role, key in NAME_KEYS.items():
        if key in body:
            yield _Committed(seq, key, bytes.fromhex(str(body[key])), cast("int | None", body.get(role.value)))
    for kind in TextKind:
        if kind in body:
            yield _Committed(seq, kind.value, bytes.fromhex(str(body[kind])), subject)


def _there(digests: Sequence[bytes]) -> frozenset[bytes]:
    """Return those of the digests whose value is kept; ChainError for a value that does not fit."""
    found = set()
    for part in _in_chunks(digests):
        for row in Detached.objects.filter(digest__in=part):
            digest = bytes(row.digest)
            if commitment(bytes(row.salt), row.kind, row.value) != digest:
                raise ChainError("names and texts", f"a {row.kind} does not fit what was signed ({digest.hex()[:16]})")
            found.add(digest)
    return frozenset(found)


def _erasures() -> Mapping[int, Sequence[tuple[int, str]]]:
    """Return the erasures of each person: place and rule."""
    rows = LedgerEntry.objects.filter(index__kind=EntryKind.ERASURE).order_by("seq").values_list("seq", "body")
    found: dict[int, list[tuple[int, str]]] = {}
    for seq, raw in rows:
        body = decode(bytes(raw))
        found.setdefault(cast("int", body["subject"]), []).append((seq, str(body.get("rule", WHOLE_RECORD))))
    return found


def _was_erased(each: _Committed, erasures: Mapping[int, Sequence[tuple[int, str]]]) -> bool:
    """Whether an erasure of the person was entered after it: of the evidence for a text, of the record for a name."""
    is_name = each.key in NAME_KEYS.values()
    entered = erasures.get(each.person, ()) if each.person is not None else ()
    return any(seq > each.seq and (rule == WHOLE_RECORD or not is_name) for seq, rule in entered)
