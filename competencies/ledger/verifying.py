"""Looks at the whole stored ledger: the chain, the search table beside it, the anchors and the guards."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from django.db import connection

from competencies.ledger.canonical import Body, decode
from competencies.ledger.chain import Chain, ChainError
from competencies.ledger.guards import guard_faults
from competencies.ledger.indexing import COLUMNS, index_values
from competencies.ledger.schema import SchemaError, read_body
from competencies.models import LedgerAnchor, LedgerEntry, LedgerIndex

CHUNK: Final = 2000
ENTRY_COLUMNS: Final = ("seq", "body", "prev", "hash")


@dataclass(frozen=True, slots=True)
class Verified:
    """What was found whole: entries, hash of the last, root over all, anchors that hold."""

    count: int
    head: bytes
    root: bytes
    anchors: int


def verify_ledger(*, with_values: bool = False) -> Verified:
    """Recompute the ledger from its first entry; ChainError at the first thing that does not fit.

    The search table is compared with the bodies, the anchors with the recomputed roots, and the guards with
    what they should be. `with_values` also reads every value of every body by the schema of its kind.
    """
    # Anchors first: entries that are appended meanwhile can only add to what they stand for.
    anchors = _anchors_by_size()
    chain = Chain()
    _compare_anchors(chain, anchors)
    try:
        for row in _rows():
            _follow(chain, row, with_values=with_values)
            _compare_anchors(chain, anchors)
    except (ValueError, TypeError, AttributeError) as error:
        # SQLite keeps whatever was put into a column, and Django then fails to read it.
        raise ChainError(chain.size, f"what is stored cannot be read ({error})") from error
    _compare_ends(chain, anchors)
    return Verified(chain.size, chain.head, chain.tree.root(), sum(map(len, anchors.values())))


def _rows() -> Iterator[Sequence[Any]]:
    # One query, so that entries and search rows are seen at one moment.
    rows = LedgerEntry.objects.order_by("seq").values_list(*ENTRY_COLUMNS, *(f"index__{name}" for name in COLUMNS))
    return rows.iterator(chunk_size=CHUNK)


def _follow(chain: Chain, row: Sequence[Any], *, with_values: bool) -> None:
    seq, raw, prev, stored_hash, *indexed = row
    body = chain.follow(seq, bytes(raw), bytes(prev), bytes(stored_hash))
    _compare_index(seq, body, indexed)
    if with_values:
        _read_values(seq, bytes(raw))


def _anchors_by_size() -> Mapping[int, list[bytes]]:
    by_size: dict[int, list[bytes]] = {}
    for size, root in LedgerAnchor.objects.values_list("size", "root"):
        by_size.setdefault(size, []).append(bytes(root))
    return by_size


def _compare_anchors(chain: Chain, anchors: Mapping[int, list[bytes]]) -> None:
    kept = anchors.get(chain.size)
    if kept and any(root != chain.tree.root() for root in kept):
        raise ChainError("anchors", f"the first {chain.size} entries no longer have the root that was kept")


def _compare_index(seq: int, body: Body, indexed: Sequence[Any]) -> None:
    try:
        expected = index_values(body)
    except (SchemaError, KeyError) as error:
        raise ChainError(seq, f"its body cannot be indexed ({error})") from error
    for name, value in zip(COLUMNS, indexed, strict=True):
        if expected[name] != (value.astimezone(UTC) if isinstance(value, datetime) else value):
            raise ChainError(seq, f"the search table says {name} {value}, the body {expected[name]}")


def _read_values(seq: int, raw: bytes) -> None:
    try:
        read_body(decode(raw))
    except ValueError as error:
        raise ChainError(seq, f"its values do not fit ({error})") from error


def _compare_ends(chain: Chain, anchors: Mapping[int, list[bytes]]) -> None:
    if beyond := [size for size in anchors if size > chain.size]:
        raise ChainError("anchors", f"{max(beyond)} entries were anchored, {chain.size} are there")
    extra = LedgerIndex.objects.exclude(entry__in=LedgerEntry.objects.all()).order_by("pk").first()
    if extra is not None:
        raise ChainError(int(extra.pk), "stands in the search table only")
    if faults := guard_faults(connection):
        raise ChainError("guards", "; ".join(faults))
