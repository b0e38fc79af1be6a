"""What the pages of pathways and units show: unit by unit for one person, version by version for the plant."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Enrolment, LedgerIndex, Person, Plant, Task, UnitStandard
from competencies.queries.facts import rules_of
from competencies.queries.pathways import PathwayProgress, UnitProgress, pathways_of, unit_rules
from competencies.queries.signatures import Signature, signatures
from competencies.queries.standing import Held, standings_at
from competencies.standing.credits import Unit, VersionState
from competencies.standing.facts import Moderation, UnitReported
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Reason
from competencies.standing.unit_evidence import CALCULATION, end_of, flags, outcomes_met
from competencies.standing.unit_records import UnitRecord, governing, unit_records
from competencies.vocabulary import EntryKind


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemLine:
    """A task or a calculation that an outcome lists: whether it stands for the unit, and the floor standing.

    `held` is where the person stands on the task on the day asked about: the best of several places.
    """

    code: str
    title: str
    is_met: bool
    held: Held | None = None

    @property
    def name(self) -> str:
        """Return code and title, a calculation by its code alone."""
        return f"{self.code.removeprefix(CALCULATION)} {self.title}".strip()

    @property
    def is_calculation(self) -> bool:
        """Whether it is a calculation and no task."""
        return self.code.startswith(CALCULATION)

    @property
    def is_in_force(self) -> bool:
        """Whether the person holds the task on the floor."""
        return self.held is not None and self.held.period.standing.is_in_force


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitSheet:
    """One unit of a pathway for a person, with who decided, reported and moderated it."""

    progress: UnitProgress
    outcomes: Sequence[tuple[int, Sequence[ItemLine]]]
    decided: Signature | None = None
    report: UnitReported | None = None
    moderations: Sequence[tuple[Moderation, Signature | None]] = ()

    @property
    def without_standing(self) -> Sequence[ItemLine]:
        """Return the tasks of an achieved unit that the person does not hold on the floor (R8.3)."""
        record = self.progress.record
        if record is None or not record.is_counted:
            return ()
        return [item for item in self._tasks() if not item.is_in_force]

    @property
    def without_credit(self) -> Sequence[ItemLine]:
        """Return the tasks held on the floor of a unit that gives no credits."""
        record = self.progress.record
        if record is not None and record.is_counted:
            return ()
        return [item for item in self._tasks() if item.is_in_force]

    def _tasks(self) -> list[ItemLine]:
        found = {item.code: item for _, items in self.outcomes for item in items}
        return [item for item in found.values() if not item.is_calculation]


@dataclass(frozen=True, slots=True, kw_only=True)
class PathwaySheet:
    """A person on a version of a pathway, unit by unit: achieved first, then begun, then the others."""

    progress: PathwayProgress
    achieved: Sequence[UnitSheet]
    begun: Sequence[UnitSheet]
    others: Sequence[UnitSheet]

    @property
    def without_standing(self) -> Sequence[UnitSheet]:
        """Return the achieved units with a task that the person does not hold on the floor."""
        return [each for each in self.achieved if each.without_standing]

    @property
    def without_credit(self) -> Sequence[UnitSheet]:
        """Return the units without credits of which a task is held on the floor."""
        return [each for each in (*self.begun, *self.others) if each.without_credit]


def pathway_sheets(person: Person, *, on: date, moment: datetime, known: datetime | None) -> list[PathwaySheet]:
    """Return each version of a pathway that a person is or was on by a day, as known. Fixed queries."""
    found = pathways_of([person], on=on, known=known, with_earlier=True)
    units = [unit for progress in found for unit in progress.units]
    titles = dict(Task.objects.filter(plant=person.plant_id).values_list("code", "title"))
    standings = _best_by_task(standings_at(people=[person.pk], moment=moment, known=known))
    signed = signatures(_places(units))
    return [_sheet(progress, titles, standings, signed) for progress in found]


def _sheet(
    progress: PathwayProgress,
    titles: Mapping[str, str],
    standings: Mapping[str, Held],
    signed: Mapping[int, Signature],
) -> PathwaySheet:
    sheets = [_unit_sheet(each, titles, standings, signed) for each in progress.units]
    return PathwaySheet(
        progress=progress,
        achieved=[each for each in sheets if each.progress.record],
        begun=[each for each in sheets if not each.progress.record and each.progress.is_begun],
        others=[each for each in sheets if not each.progress.is_begun],
    )


def _unit_sheet(
    progress: UnitProgress,
    titles: Mapping[str, str],
    standings: Mapping[str, Held],
    signed: Mapping[int, Signature],
) -> UnitSheet:
    outcomes = [
        (
            number,
            [
                ItemLine(code=code, title=titles.get(code, ""), is_met=bool(seqs), held=standings.get(code))
                for code, seqs in items.items()
            ],
        )
        for number, items in sorted(progress.evidence.items())
    ]
    record = progress.record
    if record is None:
        return UnitSheet(progress=progress, outcomes=outcomes)
    return UnitSheet(
        progress=progress,
        outcomes=outcomes,
        decided=signed.get(record.decision.seq),
        report=record.report,
        moderations=[(each, signed.get(each.seq)) for each in record.moderations],
    )


def _places(units: Iterable[UnitProgress]) -> set[int]:
    records = [each.record for each in units if each.record]
    decided = {record.decision.seq for record in records}
    return decided | {each.seq for record in records for each in record.moderations}


def _best_by_task(found: Iterable[Held]) -> dict[str, Held]:
    """Return one standing by task: one that counts before one in force before any other."""
    best: dict[str, Held] = {}
    for held in found:
        before = best.get(held.task_code)
        if before is None or _weight(held) > _weight(before):
            best[held.task_code] = held
    return best


def _weight(held: Held) -> tuple[bool, bool]:
    return held.period.standing.is_in_force, held.period.counts


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionLine:
    """A decision on a unit about a person, with what became of it and what the moderator is to look at."""

    person: Person
    unit: UnitStandard
    record: UnitRecord
    flags: Sequence[Reason] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionLine:
    """One version of a unit: where it is in its life, how many have achieved it, who is part-way."""

    unit: UnitStandard
    state: VersionState
    achieved: int
    part_way: Sequence[Person]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitsPage:
    """The plant's units with their versions; and the decisions, those to be reported or looked at first."""

    versions: Sequence[VersionLine]
    decisions: Sequence[DecisionLine]

    @property
    def to_look_at(self) -> Sequence[DecisionLine]:
        """Return what the moderator is to look at: disputed, or with evidence that has changed."""
        return [each for each in self.decisions if each.flags or each.record.is_disputed]

    @property
    def to_report(self) -> Sequence[DecisionLine]:
        """Return what counts and is not reported yet."""
        return [each for each in self.decisions if each.record.is_counted and each.record.report is None]


def units_page(plant: Plant, *, on: date) -> UnitsPage:
    """Return the units of a plant on a day. Fixed queries for any number of people and units."""
    people = _concerned(plant)
    rules = rules_of(people) if people else {}
    units = unit_rules(plant.pk)
    rows = {unit.key: row for row, unit in units}
    offered = {unit.key: unit for _, unit in units}
    decided = {person.pk: governing(unit_records(rules[person.pk].of_units, on)) for person in people}
    decisions = [
        DecisionLine(
            person=person,
            unit=rows[key],
            record=record,
            flags=flags(record, offered[key], rules[person.pk], end_of(rules[person.pk], on)),
        )
        for person in people
        for key, record in decided[person.pk].items()
        if key in rows
    ]
    enrolled = _enrolled(people, on)
    followers = [person for person in people if person.pk in enrolled]
    versions = [
        VersionLine(
            unit=row,
            state=unit.state_on(on),
            achieved=sum(1 for each in decisions if each.unit == row and each.record.is_counted),
            part_way=[each for each in followers if _is_part_way(unit, rules[each.pk], decided[each.pk], on)],
        )
        for row, unit in units
    ]
    newest_first = sorted(
        decisions, key=lambda each: (each.record.decision.on, each.record.decision.seq), reverse=True
    )
    return UnitsPage(versions=versions, decisions=newest_first)


def _concerned(plant: Plant) -> list[Person]:
    """Return the people of a plant who are on a pathway or about whom a unit was decided, by name."""
    decided = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.UNIT_DECISION).values("person")
    enrolled = Enrolment.objects.filter(person__plant=plant).values("person")
    people = Person.objects.filter(plant=plant)
    found = people.filter(pk__in=decided) | people.filter(pk__in=enrolled)
    return list(found.select_related("plant").distinct().order_by("name", "works_number"))


def _enrolled(people: Sequence[Person], on: date) -> set[int]:
    rows = Enrolment.objects.filter(person__in=[person.pk for person in people], enrolled_on__lte=on)
    return set(rows.values_list("person", flat=True))


def _is_part_way(unit: Unit, rule: PersonRule, decided: Mapping[tuple[str, int], UnitRecord], on: date) -> bool:
    """Whether some outcome of a version that can still be decided stands, and no version of the unit counts yet."""
    if unit.state_on(on) in {VersionState.DISCONTINUED, VersionState.COMING}:
        return False
    if any(code == unit.code and record.is_counted for (code, _), record in decided.items()):
        return False
    return any(outcomes_met(unit, rule, on).values())
