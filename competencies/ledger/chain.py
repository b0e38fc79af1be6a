"""Follows the chain of entries from the first one and stops at the first that does not fit. Pure."""

from competencies.ledger.canonical import FIRST_PREV, Body, CanonicalError, entry_hash, parse
from competencies.ledger.merkle import Accumulator
from competencies.ledger.schema import SchemaError, check_keys


class ChainError(Exception):
    """Something does not fit: `where` names it (an entry's place, or what else was looked at), `what` says how."""

    def __init__(self, where: int | str, what: str) -> None:
        self.where = where
        self.what = what
        super().__init__(f"entry {where}: {what}" if isinstance(where, int) else f"{where}: {what}")


class Chain:
    """The entries followed so far: how many, the hash of the last, and the tree over them all."""

    def __init__(self) -> None:
        self.head = FIRST_PREV
        self.tree = Accumulator()

    @property
    def size(self) -> int:
        """Return how many entries were followed."""
        return self.tree.size

    def follow(self, seq: object, raw: bytes, prev: bytes, stored_hash: bytes) -> Body:
        """Take the next entry as it is stored and return its body; ChainError when it does not fit.

        The bytes are hashed as they are; only then are they read and compared with what stands beside them.
        """
        expected = self.size
        if seq != expected or not isinstance(seq, int):
            raise ChainError(expected, f"missing, or out of place: entry {seq} follows")
        if prev != self.head:
            raise ChainError(seq, "does not follow the entry before it")
        if entry_hash(raw) != stored_hash:
            raise ChainError(seq, "its bytes do not have its hash")
        body = _read(seq, raw)
        if body["seq"] != seq or body["prev"] != prev.hex():
            raise ChainError(seq, "its body names another place")
        self.head = stored_hash
        self.tree.add(stored_hash)
        return body


def _read(seq: int, raw: bytes) -> Body:
    try:
        body = parse(raw)
        check_keys(body)
    except (CanonicalError, SchemaError) as error:
        raise ChainError(seq, f"its body does not fit ({error})") from error
    return body
