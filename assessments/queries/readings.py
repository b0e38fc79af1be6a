"""Readings that two people took of the same thing, out of the ledger's supervised runs and assessments.

What stands corrected does not count, nor an annulled assessment, nor a run that nobody has confirmed. Entries of
records that were joined or parted count for whom they belong to now.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

from django.db.models import Q, QuerySet

from assessments.statistics.agreement import Pair
from competencies.ledger.canonical import Body, parse
from competencies.ledger.reading import fact_of, facts_of
from competencies.ledger.schema import read_field
from competencies.models import LedgerEntry, LedgerIndex, Person, Plant, Reading
from competencies.standing.belonging import Change, changes_in, kin_of, owner_of
from competencies.standing.facts import Annulment, Assessment, Fact, Run
from competencies.standing.live import corrected
from competencies.vocabulary import EntryKind

HOLD_READINGS = (EntryKind.RUN, EntryKind.ASSESSMENT)
TURN_OTHERS = (EntryKind.CORRECTION, EntryKind.ANNULMENT, EntryKind.PEOPLE_JOINED, EntryKind.PEOPLE_PARTED)
#: Task, number of the revision and number of the reading: what an entry names a reading by.
Named: TypeAlias = tuple[str, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A reading of a task, the same in every revision that gives it this name and unit.

    `reading_id` is its row in the newest of those revisions that is in effect, and `most`, what may lie between two
    people, is that revision's.
    """

    reading_id: int
    task: str
    title: str
    name: str
    unit: str
    most: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRead:
    """One thing, read by both. `trainee` and `watcher` are people's numbers; `seq` is the entry that holds it."""

    seq: int
    kind: EntryKind
    on: date
    quantity: Quantity
    trainee: int
    watcher: int | None
    pair: Pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which readings: of a period, both days included; where they are named, of a person or a task only."""

    plant: Plant
    since: date
    on: date
    person: Person | None = None
    task: str = ""


@dataclass(frozen=True, slots=True)
class _Turns:
    """What later entries did to others: which are out, and whose the rest are."""

    out: frozenset[int]
    changes: Sequence[Change]
    joined: Mapping[int, int]

    def owner(self, fact: Fact) -> int:
        """Return whose an entry is."""
        touched = any(fact.person in {change.person, change.other} for change in self.changes)
        return owner_of(fact, self.changes) if touched else fact.person

    def record(self, number: int | None) -> int | None:
        """Return the record that a number leads to by now."""
        while number is not None and number in self.joined:
            number = self.joined[number]
        return number


def pairs_read(asked: Asked) -> list[PairRead]:
    """Return every pair of readings that is asked for, oldest first.

    Four queries, and one more where an entry was made in place of a wrong one.
    """
    turns = _turns(asked.plant)
    quantities = _quantities(asked)
    found: list[PairRead] = []
    standing = _standing(asked, turns)
    sheets = _sheets(asked.plant, {fact.first_seq for _, fact in standing} - {None})
    for body, fact in standing:
        task, revision = sheets.get(fact.first_seq, (fact.task, fact.revision))
        # Readings that were typed under another task's names say nothing about this one.
        if task == fact.task and revision is not None:
            found += _pairs(body, fact, quantities, turns, revision)
    return found


def quantity_of(reading: Reading, *, on: date) -> Quantity:
    """Return the quantity that a reading, loaded with its revision's task, is an issue of. One query."""
    task = reading.revision.task
    rows = Reading.objects.filter(revision__task=task, name=reading.name, unit=reading.unit)
    return _by_name(rows, on)[task.code, reading.revision.number, reading.number]


def _turns(plant: Plant) -> _Turns:
    facts = facts_of(LedgerEntry.objects.filter(index__plant=plant, index__kind__in=TURN_OTHERS).order_by("seq"))
    out = corrected(facts)
    annulled = {fact.of for fact in facts if isinstance(fact, Annulment) and fact.seq not in out}
    rows = Person.objects.filter(plant=plant).values_list("pk", "joined_into")
    joined = {number: into for number, into in rows.exclude(joined_into=None) if into is not None}
    return _Turns(frozenset(out | annulled), changes_in(facts), joined)


def _quantities(asked: Asked) -> Mapping[Named, Quantity]:
    rows = Reading.objects.filter(revision__task__plant=asked.plant)
    return _by_name(rows.filter(revision__task__code=asked.task) if asked.task else rows, asked.on)


def _by_name(rows: QuerySet[Reading], on: date) -> dict[Named, Quantity]:
    """Return every reading of every revision with its quantity, by what an entry names it by."""
    found: dict[Named, Quantity] = {}
    newest: dict[tuple[str, str, str], Quantity] = {}
    # Those in effect first, the newest of them before the others: the first of a name and unit decides.
    for row in sorted(
        rows.select_related("revision__task"),
        key=lambda row: (row.revision.effective_on > on, -row.revision.number, row.number),
    ):
        task = row.revision.task
        quantity = newest.setdefault(
            (task.code, row.name, row.unit),
            Quantity(
                reading_id=row.pk,
                task=task.code,
                title=task.title,
                name=row.name,
                unit=row.unit,
                most=row.paired_tolerance,
            ),
        )
        found[task.code, row.revision.number, row.number] = quantity
    return found


def _entries(asked: Asked, changes: Sequence[Change]) -> QuerySet[LedgerEntry]:
    rows = LedgerEntry.objects.filter(
        index__plant=asked.plant,
        index__kind__in=HOLD_READINGS,
        index__happened_on__gte=asked.since,
        index__happened_on__lte=asked.on,
    )
    if asked.task:
        rows = rows.filter(index__task=asked.task)
    if asked.person is not None:
        kin = kin_of(asked.person.pk, changes)
        rows = rows.filter(Q(index__person__in=kin) | Q(index__actor__in=kin))
    return rows.order_by("seq")


def _standing(asked: Asked, turns: _Turns) -> list[tuple[Body, Run | Assessment]]:
    bodies = [parse(bytes(entry.body)) for entry in _entries(asked, turns.changes)]
    told = [(body, fact_of(body)) for body in bodies]
    return [(body, fact) for body, fact in told if isinstance(fact, Run | Assessment) and _stands(fact, turns)]


def _sheets(plant: Plant, firsts: Collection[int | None]) -> Mapping[int | None, tuple[str, int | None]]:
    """Return the task and revision whose readings were asked for, where an entry was made in place of a wrong one."""
    rows = LedgerIndex.objects.filter(plant=plant, entry__in=firsts).values_list("entry", "task", "revision")
    return {entry: (task, revision) for entry, task, revision in rows}


def _stands(fact: Run | Assessment, turns: _Turns) -> bool:
    is_confirmed = isinstance(fact, Assessment) or fact.confirmed_at is not None
    return is_confirmed and fact.seq not in turns.out


def _pairs(
    body: Body, fact: Run | Assessment, quantities: Mapping[Named, Quantity], turns: _Turns, revision: int
) -> Iterator[PairRead]:
    for each in _readings_in(body):
        quantity = quantities.get((fact.task, revision, each["number"]))
        if quantity is None or each.get("trainee") is None or each.get("assessor") is None:
            continue
        yield PairRead(
            seq=fact.seq,
            kind=EntryKind(body["kind"]),
            on=fact.on,
            quantity=quantity,
            trainee=turns.owner(fact),
            watcher=turns.record(fact.by),
            pair=(each["trainee"], each["assessor"]),
        )


def _readings_in(body: Body) -> Iterable[dict[str, Any]]:
    read: Iterable[dict[str, Any]] = read_field(EntryKind(body["kind"]), "readings", body.get("readings", []))
    return read
