"""How far readings agree: by quantity over the plant, by person over quantities, and both together."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TypeVar

from assessments.queries.readings import Asked, PairRead, Quantity, pairs_read
from assessments.statistics.agreement import Agreement, Finding, Pair, agreement, beyond, finding
from assessments.statistics.repeatability import Repeatability, repeatability
from competencies.models import Person, Plant

Key = TypeVar("Key")
# The gravest first: what wants a look, then what is fine, then what says nothing yet.
_GRAVITY = {each: place for place, each in enumerate(Finding)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """What some pairs of one quantity tell. The first of each pair is the reading of whom it is about."""

    quantity: Quantity
    found: Agreement
    finding: Finding
    beyond: int
    pairs: Sequence[Pair] = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityOverview:
    """A quantity over the plant: all pairs together, how many trainees, and of how many the readings are off."""

    compared: Compared
    people: int
    astray: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonAgreement:
    """A person's quantities, as trainee and as the one who watched, the gravest first."""

    as_trainee: Sequence[Compared]
    as_watcher: Sequence[Compared]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairRow:
    """One pair with whoever watched (None: no longer on file)."""

    read: PairRead
    watcher: Person | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonQuantity:
    """A trainee's pairs of one quantity, the newest first, and what they tell (None: there are none)."""

    compared: Compared | None
    rows: Sequence[PairRow]
    repeats: Repeatability | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A person's part in a quantity, as trainee or as the one who watched."""

    person: Person
    compared: Compared


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityPeople:
    """A quantity over people: all pairs together (None: there are none), by trainee and by watcher."""

    compared: Compared | None
    trainees: Sequence[Share]
    watchers: Sequence[Share]
    repeats: Repeatability | None


def agreement_overview(plant: Plant, *, since: date, on: date) -> list[QuantityOverview]:
    """Return every quantity that two people read in a period, the gravest first. A fixed number of queries."""
    found = []
    for reads in _by_quantity(pairs_read(Asked(plant=plant, since=since, on=on))):
        trainees = [_compared(each) for each in _grouped(reads, _trainee).values()]
        astray = sum(each.finding in {Finding.READS_OFF, Finding.SCATTERS} for each in trainees)
        found.append(QuantityOverview(compared=_compared(reads), people=len(trainees), astray=astray))
    return sorted(found, key=lambda each: (-each.astray, _order(each.compared)))


def person_agreement(person: Person, *, since: date, on: date) -> PersonAgreement:
    """Return a person's agreement over all quantities. A fixed number of queries."""
    reads = pairs_read(Asked(plant=person.plant, since=since, on=on, person=person))
    own = [read for read in reads if read.trainee == person.pk]
    watched = [read for read in reads if read.watcher == person.pk]
    return PersonAgreement(
        as_trainee=sorted(map(_compared, _by_quantity(own)), key=_order),
        as_watcher=sorted(map(_compared_as_watcher, _by_quantity(watched)), key=_order),
    )


def person_quantity(person: Person, quantity: Quantity, *, since: date, on: date) -> PersonQuantity:
    """Return a trainee's pairs of one quantity, with who watched. A fixed number of queries."""
    asked = Asked(plant=person.plant, since=since, on=on, person=person, task=quantity.task)
    reads = [read for read in _of(quantity, pairs_read(asked)) if read.trainee == person.pk]
    people = _people(person.plant, {read.watcher for read in reads})
    newest = sorted(reads, key=lambda read: (read.on, read.seq), reverse=True)
    return PersonQuantity(
        compared=_compared(reads) if reads else None,
        rows=[PairRow(read=read, watcher=people.get(read.watcher)) for read in newest],
        repeats=_repeats(reads),
    )


def quantity_people(plant: Plant, quantity: Quantity, *, since: date, on: date) -> QuantityPeople:
    """Return a quantity over everybody who read it and everybody who watched. A fixed number of queries."""
    reads = _of(quantity, pairs_read(Asked(plant=plant, since=since, on=on, task=quantity.task)))
    trainees, watchers = _grouped(reads, _trainee), _grouped(reads, _watcher)
    people = _people(plant, {*trainees, *watchers})
    return QuantityPeople(
        compared=_compared(reads) if reads else None,
        trainees=_shares(trainees, people, _compared),
        watchers=_shares(watchers, people, _compared_as_watcher),
        repeats=_repeats(reads),
    )


def _compared(reads: Sequence[PairRead]) -> Compared:
    return _compared_pairs(reads[0].quantity, [read.pair for read in reads])


def _compared_as_watcher(reads: Sequence[PairRead]) -> Compared:
    """Return the same from the other side: above 0, the one who watched reads high."""
    return _compared_pairs(reads[0].quantity, [(other, own) for own, other in (read.pair for read in reads)])


def _compared_pairs(quantity: Quantity, pairs: Sequence[Pair]) -> Compared:
    found = agreement(pairs)
    return Compared(
        quantity=quantity,
        found=found,
        finding=finding(found, quantity.most),
        beyond=beyond(pairs, quantity.most),
        pairs=pairs,
    )


def _repeats(reads: Iterable[PairRead]) -> Repeatability | None:
    """Return the trainees' repeatability, where an entry holds the same reading more than once."""
    by_entry = _grouped(reads, lambda read: read.seq)
    return repeatability([float(read.pair[0]) for read in group] for group in by_entry.values())


def _shares(
    groups: Mapping[int | None, Sequence[PairRead]],
    people: Mapping[int | None, Person],
    compared: Callable[[Sequence[PairRead]], Compared],
) -> list[Share]:
    shares = [
        Share(person=people[number], compared=compared(reads)) for number, reads in groups.items() if number in people
    ]
    return sorted(shares, key=lambda each: (_order(each.compared), each.person.name))


def _order(compared: Compared) -> tuple[int, int, str, str]:
    quantity = compared.quantity
    return _GRAVITY[compared.finding], -compared.beyond, quantity.task, quantity.name


def _trainee(read: PairRead) -> int | None:
    return read.trainee


def _watcher(read: PairRead) -> int | None:
    return read.watcher


def _grouped(reads: Iterable[PairRead], key: Callable[[PairRead], Key]) -> dict[Key, list[PairRead]]:
    groups: dict[Key, list[PairRead]] = defaultdict(list)
    for read in reads:
        groups[key(read)].append(read)
    return groups


def _by_quantity(reads: Iterable[PairRead]) -> Iterable[list[PairRead]]:
    return _grouped(reads, lambda read: read.quantity.reading_id).values()


def _of(quantity: Quantity, reads: Iterable[PairRead]) -> list[PairRead]:
    return [read for read in reads if read.quantity.reading_id == quantity.reading_id]


def _people(plant: Plant, numbers: set[int | None]) -> dict[int | None, Person]:
    return {person.pk: person for person in Person.objects.filter(plant=plant, pk__in=numbers - {None})}
