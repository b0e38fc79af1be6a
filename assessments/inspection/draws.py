"""Draws from a seed: the same on every machine and every Python, as in `generation`."""

import hashlib
from collections.abc import Sequence
from enum import StrEnum
from typing import TypeVar

Choice = TypeVar("Choice")

_PARTS = 2**64


class Zone(StrEnum):
    """Where a measure lies, in shares of its tolerance. No zone touches the limit, so that no drawing is a toss-up."""

    WELL_WITHIN = "well_within"
    JUST_WITHIN = "just_within"
    JUST_OUTSIDE = "just_outside"
    WELL_OUTSIDE = "well_outside"

    @property
    def is_outside(self) -> bool:
        """Whether the limit is broken there."""
        return self in {Zone.JUST_OUTSIDE, Zone.WELL_OUTSIDE}


#: From and to, in shares of the tolerance.
SHARES = {
    Zone.WELL_WITHIN: (0.0, 0.4),
    Zone.JUST_WITHIN: (0.6, 0.8),
    Zone.JUST_OUTSIDE: (1.2, 1.6),
    Zone.WELL_OUTSIDE: (2.0, 3.5),
}


class Draws:
    """Draws of one drawing. Each has a name, so that a new one leaves the others as they were."""

    def __init__(self, source: str) -> None:
        """Draw from this text."""
        self.source = source

    def below(self, name: str, count: int) -> int:
        """Return a whole number from 0 to count - 1."""
        digest = hashlib.sha256(f"{self.source}:{name}".encode()).digest()
        return int.from_bytes(digest[:16], "big") % count

    def whole(self, name: str, least: int, most: int) -> int:
        """Return a whole number, both ends in."""
        return least + self.below(name, most - least + 1)

    def steps(self, name: str, least: float, most: float, step: float) -> float:
        """Return a multiple of the step between the two, both ends in."""
        first, last = round(least / step), round(most / step)
        return round(self.whole(name, first, last) * step, 6)

    def pick(self, name: str, options: Sequence[Choice]) -> Choice:
        """Return one of the options."""
        return options[self.below(name, len(options))]

    def happens(self, name: str, share: float) -> bool:
        """Return True in that share of the seeds."""
        return self.below(name, _PARTS) < share * _PARTS

    def size(self, name: str, zone: Zone, tolerance: float, step: float) -> float:
        """Return how far from the middle a measure lies in a zone, in steps, without its sign."""
        least, most = SHARES[zone]
        return self.steps(name, least * tolerance, most * tolerance, step)

    def deviation(self, name: str, zone: Zone, tolerance: float, step: float) -> float:
        """Return a deviation in a zone, up or down."""
        size = self.size(name, zone, tolerance, step)
        return -size if self.happens(f"{name}:down", 0.5) else size
