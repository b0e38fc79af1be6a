"""The tree over the entries, as RFC 9162 section 2.1 defines it: one root that stands for all of them.

An entry's hash is already the hash of its leaf, so everything here starts from leaf hashes. Pure.
"""

import hashlib
from collections.abc import Iterable, Sequence

NODE_PREFIX = b"\x01"
EMPTY_ROOT = hashlib.sha256().digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Return SHA-256(0x01 || left || right), 32 bytes."""
    return hashlib.sha256(NODE_PREFIX + left + right).digest()


class Accumulator:
    """Takes leaf hashes one by one and tells the root so far; holds at most one hash a level."""

    def __init__(self) -> None:
        self.size = 0
        self._peaks: list[bytes] = []

    def add(self, leaf: bytes) -> None:
        """Take the next leaf hash."""
        self._peaks.append(leaf)
        self.size += 1
        # A peak stands for each bit of the size; every trailing zero of the new size joins two peaks.
        joins = (self.size & -self.size).bit_length() - 1
        for _ in range(joins):
            right, left = self._peaks.pop(), self._peaks.pop()
            self._peaks.append(node_hash(left, right))

    def root(self) -> bytes:
        """Return the root over the leaves so far (RFC 9162 2.1.1), 32 bytes."""
        if not self._peaks:
            return EMPTY_ROOT
        *rest, top = self._peaks
        for peak in reversed(rest):
            top = node_hash(peak, top)
        return top


def root(leaves: Iterable[bytes]) -> bytes:
    """Return the root over the leaf hashes, 32 bytes."""
    tree = Accumulator()
    for leaf in leaves:
        tree.add(leaf)
    return tree.root()


def inclusion_path(leaves: Sequence[bytes], index: int) -> list[bytes]:
    """Return the hashes that lead from the leaf at `index` to the root, lowest first (RFC 9162 2.1.3.1).

    Raises IndexError when there is no such leaf.
    """
    if not 0 <= index < len(leaves):
        raise IndexError(f"no leaf {index} among {len(leaves)}")
    path: list[bytes] = []
    first, last = 0, len(leaves)
    while last - first > 1:
        split = first + _largest_power_below(last - first)
        if index < split:
            path.append(root(leaves[split:last]))
            last = split
        else:
            path.append(root(leaves[first:split]))
            first = split
    return path[::-1]


def is_included(leaf: bytes, *, index: int, size: int, path: Sequence[bytes], expected_root: bytes) -> bool:
    """Whether `path` leads from `leaf` at `index` of `size` leaves to the root (RFC 9162 2.1.3.2)."""
    if not 0 <= index < size:
        return False
    here, end, reached = index, size - 1, leaf
    for sibling in path:
        if end == 0:
            return False
        if here & 1 or here == end:
            reached = node_hash(sibling, reached)
            while not here & 1 and here:
                here, end = here >> 1, end >> 1
        else:
            reached = node_hash(reached, sibling)
        here, end = here >> 1, end >> 1
    return end == 0 and reached == expected_root


def _largest_power_below(count: int) -> int:
    """Return the largest power of two that is smaller than `count` (at least 2)."""
    return 1 << (count - 1).bit_length() - 1
