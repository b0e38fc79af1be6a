"""What was found, with the names, titles and signatures that it is told with."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from competencies.models import Line, Machine, Person, Plant, Shift, Task
from competencies.queries.incidents.kept import Change, SinceCopy
from competencies.queries.incidents.parts import (
    AtStation,
    IncidentFound,
    Presence,
    Said,
    SignedBy,
    StationFound,
)
from competencies.queries.signatures import Signature, signatures
from competencies.standing.facts import Scope
from competencies.standing.timeline import Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedTold:
    """An assessment behind an answer, with who judged and who signed."""

    found: SignedBy
    assessor: Person | None
    signature: Signature | None

    @property
    def differs(self) -> bool:
        """Whether the assessor was entitled by one knowledge and not by the other."""
        return bool(self.found.then) != bool(self.found.now)


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonTold:
    """A person at a station: both answers, the entries between, and the assessments they rest on."""

    person: Person | None
    then: Said
    now: Said
    differs: bool
    between: Sequence[Signature]
    signed: Sequence[SignedTold]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationTold:
    """A station with its task and machine by name."""

    found: StationFound
    task: Task | None
    machine: str
    people: Sequence[PersonTold]

    @property
    def counting_then(self) -> int:
        """Return how many counted there, as known then."""
        return sum(1 for each in self.people if each.then.counts)

    @property
    def counting_now(self) -> int:
        """Return how many counted there, as known now."""
        return sum(1 for each in self.people if each.now.counts)

    @property
    def revision_differs(self) -> bool:
        """Whether another revision is taken to have been in force."""
        return self.found.revision_then != self.found.revision_now


@dataclass(frozen=True, slots=True, kw_only=True)
class PresentTold:
    """Who was on, and how that is known."""

    person: Person | None
    found: Presence


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonTold:
    """Who learned what under whom."""

    trainee: Person | None
    trainer: Person | None
    task: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeTold:
    """A change since the copy, with the person's name."""

    person: Person | None
    change: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class IncidentTold:
    """All of it."""

    found: IncidentFound
    line: Line
    shift: Shift
    stations: Sequence[StationTold]
    present: Sequence[PresentTold]
    lessons: Sequence[LessonTold]
    hours: Sequence[tuple[Person | None, tuple[Reason, ...]]]

    @property
    def differing(self) -> Sequence[tuple[StationTold, PersonTold]]:
        """Return of whom something else is said now than could be said then."""
        return [(station, each) for station in self.stations for each in station.people if each.differs]


def incident_told(found: IncidentFound, line: Line, shift: Shift) -> IncidentTold:
    """Return what was found, told with names. Six queries."""
    people = Person.objects.in_bulk(found.people)
    codes = {station.task for station in found.stations}
    tasks = {task.code: task for task in Task.objects.filter(plant=line.plant_id, code__in=codes)}
    machines = dict(Machine.objects.filter(line=line).values_list("code", "title"))
    seqs = {seq for station in found.stations for each in station.people for seq in each.between}
    signed = {each.seq: each for each in found.signed}
    told = signatures(seqs | signed.keys())
    judged = {
        seq: SignedTold(found=each, assessor=people.get(each.assessor), signature=told.get(seq))
        for seq, each in signed.items()
    }
    return IncidentTold(
        found=found,
        line=line,
        shift=shift,
        stations=[
            StationTold(
                found=station,
                task=tasks.get(station.task),
                machine=machines.get(Scope.parse(station.scope).machine, ""),
                people=[_person(each, people, told, judged) for each in station.people],
            )
            for station in found.stations
        ],
        present=sorted(
            (PresentTold(person=people.get(each.person), found=each) for each in found.present),
            key=lambda each: each.person.name if each.person else "",
        ),
        lessons=[
            LessonTold(trainee=people.get(each.trainee), trainer=people.get(each.trainer), task=each.task)
            for each in found.lessons
        ],
        hours=[(people.get(each.person), each.reasons) for each in found.hours],
    )


def _person(
    each: AtStation, people: Mapping[int, Person], told: Mapping[int, Signature], judged: Mapping[int, SignedTold]
) -> PersonTold:
    rests_on = dict.fromkeys([*each.then.rests_on, *each.now.rests_on])
    return PersonTold(
        person=people.get(each.person),
        then=each.then,
        now=each.now,
        differs=each.differs,
        between=[told[seq] for seq in each.between if seq in told],
        signed=[judged[seq] for seq in rests_on if seq in judged],
    )


def changes_told(plant: Plant, since: SinceCopy) -> tuple[list[ChangeTold], list[Person], list[Person]]:
    """Return what reads differently with names: the answers, who is on as well, who is on no more. One query."""
    numbers = {each.person for each in since.changes} | {*since.joined, *since.gone}
    people = Person.objects.filter(plant=plant).in_bulk(numbers)
    changes = [ChangeTold(person=people.get(each.person), change=each) for each in since.changes]
    joined, gone = ([people[number] for number in found if number in people] for found in (since.joined, since.gone))
    return changes, joined, gone
