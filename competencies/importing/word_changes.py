"""How one text became another, word by word, and which line of a list became which. Pure.

The alignment is the longest matching run of words first, then the same to either side of it (the standard library's
`difflib`); it need not be the shortest way from one to the other, but it keeps whole phrases together.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum
from typing import Final

# Two lines that share less than half of their words are told as one that went and one that came.
ALIKE: Final = 0.5
WORD: Final = re.compile(r"\S+")


class Sign(StrEnum):
    """What became of some words."""

    KEPT = "kept"
    ADDED = "added"
    REMOVED = "removed"


@dataclass(frozen=True, slots=True)
class Piece:
    """Words that stand together, and what became of them."""

    sign: Sign
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """A line of a list before and after; `old` and `new` are its places, counted from 1 (None: it is not there)."""

    old: int | None
    new: int | None
    pieces: tuple[Piece, ...]

    @property
    def is_changed(self) -> bool:
        """Whether any word came or went."""
        return any(piece.sign is not Sign.KEPT for piece in self.pieces)

    @property
    def is_moved(self) -> bool:
        """Whether the line stands at another place than before."""
        return self.old is not None and self.new is not None and self.old != self.new


def word_changes(before: str, after: str) -> tuple[Piece, ...]:
    """Return the pieces of both texts in the order in which they are read, what went before what came.

    The kept and the removed words in turn are those of `before`, the kept and the added those of `after`; blanks count
    as one.
    """
    old, new = WORD.findall(before), WORD.findall(after)
    found: list[Piece] = []
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag == "equal":
            found.append(Piece(Sign.KEPT, " ".join(old[i1:i2])))
            continue
        if i2 > i1:
            found.append(Piece(Sign.REMOVED, " ".join(old[i1:i2])))
        if j2 > j1:
            found.append(Piece(Sign.ADDED, " ".join(new[j1:j2])))
    return tuple(found)


def line_changes(before: Sequence[str], after: Sequence[str]) -> tuple[LineChange, ...]:
    """Return what became of each line: those that are there now in their order, then those that went."""
    became = _became(before, after)
    found = [
        LineChange(
            old=None if old is None else old + 1,
            new=place + 1,
            pieces=word_changes("" if old is None else before[old], line),
        )
        for place, (line, old) in enumerate(zip(after, became, strict=True))
    ]
    gone = [place for place in range(len(before)) if place not in became]
    found += [LineChange(old=place + 1, new=None, pieces=word_changes(before[place], "")) for place in gone]
    return tuple(found)


def _became(before: Sequence[str], after: Sequence[str]) -> list[int | None]:
    """Return for each line that is there now which one it was: the same words first, then the most alike."""
    left = dict(enumerate(before))
    found: list[int | None] = [None] * len(after)
    for place, line in enumerate(after):
        same = next((old for old, text in left.items() if text.split() == line.split()), None)
        if same is not None:
            found[place] = same
            del left[same]
    pairs = [
        (_alike(text, after[place]), -abs(old - place), old, place)
        for place, taken in enumerate(found)
        if taken is None
        for old, text in left.items()
    ]
    for alike, _near, old, place in sorted(pairs, reverse=True):
        if alike >= ALIKE and old in left and found[place] is None:
            found[place] = old
            del left[old]
    return found


def _alike(one: str, other: str) -> float:
    """Return how much of their words two lines share, 0 to 1."""
    return SequenceMatcher(None, one.casefold().split(), other.casefold().split(), autojunk=False).ratio()
