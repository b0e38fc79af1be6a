"""One entry of the ledger: what it says, what it stands in for, what stands in its place, and who relied on it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from competencies.ledger.reading import facts_of, opened, read_entry
from competencies.models import LedgerEntry, LedgerIndex, Person, Plant
from competencies.queries.facts import facts_of_people, rules_of
from competencies.queries.frame import frame_of
from competencies.queries.relied import ReliedShift, shifts_relied
from competencies.queries.signatures import Signature, signatures
from competencies.standing.belonging import owner_of
from competencies.standing.facts import Fact
from competencies.standing.live import corrected
from competencies.vocabulary import EntryKind

INSTANT = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Related:
    """Another entry that points at this one, with its signature."""

    seq: int
    kind: str
    signature: Signature | None


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryPage:
    """An entry and what belongs to it. `person` is whose it is, by what is known now.

    `struck_by` is the correction that stands against it; `corrections` are all there ever were. `shifts` are those on
    which somebody counted by an entry that a correction struck, or did not and does.
    """

    row: LedgerIndex
    entry: Mapping[str, Any]
    fact: Fact | None
    person: Person | None
    acted_by: str
    signature: Signature | None
    struck_by: int | None
    corrections: Sequence[Related] = ()
    pointing: Sequence[Related] = ()
    shifts: Sequence[ReliedShift] = field(default_factory=list)


def entry_page(plant: Plant, seq: int) -> EntryPage | None:
    """Return an entry of a plant, or None where it has no such entry. A fixed number of queries."""
    row = LedgerIndex.objects.select_related("entry").filter(plant=plant, entry=seq).first()
    if row is None:
        return None
    entry = read_entry(row.entry)
    pointing = dict(LedgerIndex.objects.filter(of=seq, plant=plant).order_by("entry").values_list("entry_id", "kind"))
    signed = signatures([seq, *pointing])
    related = [Related(seq=place, kind=kind, signature=signed.get(place)) for place, kind in pointing.items()]
    corrections = [each for each in related if each.kind == EntryKind.CORRECTION]
    every = facts_of_people([row.person])[row.person] if row.person is not None else []
    out = corrected(every)
    told = facts_of([row.entry])
    owner = owner_of(told[0], every) if told else row.person
    return EntryPage(
        row=row,
        entry=entry,
        fact=told[0] if told else None,
        person=_person(plant, owner),
        acted_by=_acted_by(entry),
        signature=signed.get(seq),
        struck_by=next((each.seq for each in corrections if seq in out and each.seq not in out), None),
        corrections=corrections,
        pointing=[each for each in related if each.kind != EntryKind.CORRECTION],
        shifts=_shifts(plant, [row] if row.kind == EntryKind.CORRECTION else _rows(corrections)),
    )


def _acted_by(entry: Mapping[str, Any]) -> str:
    """Return the name of who acted on the floor, where somebody else entered it."""
    digest = entry.get("by_name")
    if digest is None:
        return ""
    return opened([digest]).get(digest, "")


def _rows(corrections: Sequence[Related]) -> list[LedgerIndex]:
    seqs = [each.seq for each in corrections]
    return list(LedgerIndex.objects.filter(entry__in=seqs).select_related("entry").order_by("entry")) if seqs else []


def _shifts(plant: Plant, corrections: Sequence[LedgerIndex]) -> list[ReliedShift]:
    """Return the shifts that each correction turned, by what was known just before it and from it on."""
    found: list[ReliedShift] = []
    for row in corrections:
        found += _shifts_of(plant, row)
    return found


def _shifts_of(plant: Plant, correction: LedgerIndex) -> list[ReliedShift]:
    entry = read_entry(correction.entry)
    touched = [seq for seq in (entry["of"], entry.get("instead")) if seq is not None]
    rows = LedgerIndex.objects.filter(entry__in=touched).values_list("person", "happened_on")
    about = [(person, on) for person, on in rows if person is not None]
    numbers = {*(person for person, _ in about), *filter(None, (correction.person, entry.get("other")))}
    people = list(Person.objects.filter(plant=plant, pk__in=numbers).select_related("plant"))
    if not people or not about:
        return []
    before, after = (rules_of(people, known=known) for known in _around(correction.recorded_at))
    return shifts_relied(
        before,
        after,
        people={person.pk: person for person in people},
        frame=frame_of(plant),
        window=(min(on for _, on in about), correction.recorded_at),
    )


def _around(moment: datetime) -> tuple[datetime, datetime]:
    return moment - INSTANT, moment


def fact_and_owner(plant: Plant, seq: int) -> tuple[Fact, Person] | None:
    """Return what an entry tells about a person, and whose it is by what is known now; None where it tells nothing."""
    entry = LedgerEntry.objects.filter(index__plant=plant, seq=seq).first()
    told = facts_of([entry]) if entry is not None else []
    if not told:
        return None
    owner = owner_of(told[0], facts_of_people([told[0].person])[told[0].person])
    person = _person(plant, owner)
    return None if person is None else (told[0], person)


def _person(plant: Plant, number: int | None) -> Person | None:
    """Return a person of the plant; one that an entry is about may have been erased."""
    if number is None:
        return None
    return Person.objects.select_related("plant").filter(plant=plant, pk=number).first()
