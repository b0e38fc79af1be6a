"""The conflicts of interest that stand between a person and others (R2.2)."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, Person, Plant
from competencies.standing.facts import Conflict
from competencies.standing.live import live
from competencies.vocabulary import ConflictCause, EntryKind


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictShown:
    """A conflict of interest with another person, from a day to a day (None: no end known)."""

    other: Person
    cause: ConflictCause
    from_on: date
    until_on: date | None


def conflicts_of(person: Person, *, on: date) -> Sequence[ConflictShown]:
    """Return the conflicts declared between a person and others that have not ended by a day. Two queries.

    Of several declarations on the same two people and cause the newest holds.
    """
    between = Q(index__kind=EntryKind.CONFLICT) & (Q(index__person=person.pk) | Q(index__other=person.pk))
    corrected = Q(index__kind=EntryKind.CORRECTION, index__plant=person.plant_id, index__task="")
    facts = live(facts_of(LedgerEntry.objects.filter(between | corrected).order_by("seq")))
    newest: dict[tuple[int, ConflictCause], Conflict] = {}
    for fact in facts:
        if isinstance(fact, Conflict):
            other = fact.other if fact.person == person.pk else fact.person
            newest[other, fact.cause] = fact
    people = Person.objects.in_bulk({other for other, _cause in newest})
    return [
        ConflictShown(other=people[other], cause=cause, from_on=fact.valid_from, until_on=fact.valid_until)
        for (other, cause), fact in newest.items()
        if other in people and (fact.valid_until is None or fact.valid_until >= on)
    ]


def conflicts_in(plant: Plant) -> Mapping[frozenset[int], Sequence[Conflict]]:
    """Return by the two people the conflicts of interest ever declared in a plant. One query.

    Of several declarations on the same two people and cause the newest holds.
    """
    about = Q(index__kind=EntryKind.CONFLICT, index__plant=plant.pk)
    corrected = Q(index__kind=EntryKind.CORRECTION, index__plant=plant.pk, index__task="")
    newest: dict[tuple[frozenset[int], ConflictCause], Conflict] = {}
    for fact in live(facts_of(LedgerEntry.objects.filter(about | corrected).order_by("seq"))):
        if isinstance(fact, Conflict):
            newest[frozenset({fact.person, fact.other}), fact.cause] = fact
    found: dict[frozenset[int], list[Conflict]] = defaultdict(list)
    for (two, _cause), fact in newest.items():
        found[two].append(fact)
    return found
