"""Which facts are known at a moment, and which of those stand after corrections (R7, R13). Pure."""

from collections.abc import Iterable
from datetime import datetime

from competencies.standing.facts import Correction, Fact
from competencies.standing.framework import Frame


def known_at(facts: Iterable[Fact], moment: datetime) -> list[Fact]:
    """Return the facts that were recorded by `moment` (that moment included)."""
    return [fact for fact in facts if fact.recorded_at <= moment]


def known_frame(frame: Frame, moment: datetime) -> Frame:
    """Return the frame as it was recorded by `moment`: later terms, revisions, classes and policies left out."""
    raise NotImplementedError


def live(facts: Iterable[Fact]) -> list[Fact]:
    """Return the facts that stand: corrected entries and the corrections themselves are left out (R7).

    A correction that was itself corrected does nothing.
    """
    kept = list(facts)
    corrections = sorted((fact for fact in kept if isinstance(fact, Correction)), key=lambda fact: -fact.seq)
    corrected: set[int] = set()
    for correction in corrections:
        if correction.seq not in corrected:
            corrected.add(correction.of)
    return [fact for fact in kept if fact.seq not in corrected and not isinstance(fact, Correction)]
