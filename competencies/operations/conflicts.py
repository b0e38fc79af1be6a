"""Conflicts of interest: who may not judge whom (R2.2)."""

from dataclasses import dataclass
from datetime import date

from competencies.ledger.writer import Appended, writing
from competencies.models import Person
from competencies.operations.decisions import When
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Signature, append_fact, refuse_if
from competencies.queries.facts import grants_of
from competencies.standing.facts import Conflict
from competencies.standing.second_looks import refuse_conflict
from competencies.vocabulary import ConflictCause, Meaning


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared:
    """Between whom beside the person, why, from which day, and until which (None: no end known)."""

    other: Person
    cause: ConflictCause
    from_on: date
    until_on: date | None = None


@writing()
def declare_conflict(*, person: Person, declared: Declared, by: Signer, when: When) -> Appended:
    """Declare a conflict of interest between two people: neither judges the other from that day on.

    Declared again for the same cause, the newer declaration holds; so a coordinator ends one. Raises RefusedError.
    """
    fact = Conflict(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        by=by.person.pk,
        other=declared.other.pk,
        cause=declared.cause,
        valid_from=declared.from_on,
        valid_until=declared.until_on,
    )
    refuse_if(refuse_conflict(fact, grants=grants_of([by.person.pk])[by.person.pk], now=when.now))
    return append_fact(
        fact=fact, person=person, signature=Signature(signer=by, meaning=Meaning.CONFLICT), now=when.now
    )
