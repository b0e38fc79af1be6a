"""How far people are along a pathway, in credits."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from competencies.models import Enrolment, LedgerIndex, OutcomeItem, Person, Qualification, UnitStandard
from competencies.queries.facts import rules_of
from competencies.standing import credits as rule
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Reason
from competencies.standing.unit_evidence import CALCULATION, Evidence, end_of, flags, moment_of, outcome_evidence
from competencies.standing.unit_records import UnitKey, UnitRecord, governing, unit_records
from competencies.vocabulary import EntryKind


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitProgress:
    """One unit version for one person: what speaks for each outcome, what was decided, what of it counts.

    `evidence` is on the day of the decision, else on the day asked about. `instead` is the unit that counts in the
    place of this one. `flags` are what the moderator is to look at.
    """

    standard_id: int
    unit: rule.Unit
    title: str
    state: rule.VersionState
    evidence: Evidence
    record: UnitRecord | None
    counted: int
    surplus: int
    instead: UnitKey | None = None
    is_outside: bool = False
    flags: tuple[Reason, ...] = ()

    @property
    def outcomes_met(self) -> Mapping[int, bool]:
        """Return for each outcome whether everything that it lists stands."""
        return {number: all(items.values()) for number, items in self.evidence.items()}

    @property
    def decided_on(self) -> date | None:
        """Return the day of the decision."""
        return self.record.decision.on if self.record else None

    @property
    def is_begun(self) -> bool:
        """Whether some outcome stands, or the unit was decided."""
        return self.record is not None or any(self.outcomes_met.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class PathwayProgress:
    """A person on a version of a pathway on a day. `moved_to` is the later version that the person chose (R8.9)."""

    person: Person
    qualification: Qualification
    result: rule.PathwayResult
    units: tuple[UnitProgress, ...]
    enrolled_on: date | None = None
    moved_to: Enrolment | None = None


@dataclass(frozen=True, slots=True)
class Followed:
    """A version of a pathway that a person is or was on."""

    person: Person
    qualification: Qualification
    enrolled_on: date | None = None
    moved_to: Enrolment | None = None


def qualification_rule(row: Qualification) -> rule.Qualification:
    """Return a qualification as the credit rule reads it."""
    rules = list(row.rules)
    level = next((item for item in rules if item["rule"] == "min_at_level_or_above"), {"level": 0, "credits": 0})
    return rule.Qualification(
        code=row.code,
        version=row.version,
        total=row.min_total_credits,
        core=next((item["group"] for item in rules if item["rule"] == "all"), ""),
        minimum={item["group"]: item["credits"] for item in rules if item["rule"] == "min"},
        maximum={item["group"]: item["credits"] for item in rules if item["rule"] == "max"},
        level=level["level"],
        level_credits=level["credits"],
        exclusions=tuple(frozenset(_unit_version(name) for name in pair) for pair in row.exclusions),
        balance=frozenset(
            group for item in rules if item["rule"] == "balance_to_total" for group in item.get("groups", ())
        ),
        last_enrolment_on=row.last_date_to_enrol,
        last_achievement_on=row.last_date_to_achieve,
    )


def _unit_version(name: str) -> UnitKey:
    code, _, version = name.rpartition("v")
    return code, int(version)


def unit_rules(plant_id: int) -> list[tuple[UnitStandard, rule.Unit]]:
    """Return every unit version of a plant with its outcomes, as the credit rule reads it. Two queries."""
    units = UnitStandard.objects.filter(plant=plant_id).order_by("code", "version")
    items = OutcomeItem.objects.filter(outcome__unit__plant=plant_id).select_related("outcome", "task").order_by("pk")
    outcomes: dict[int, dict[int, tuple[str, ...]]] = {}
    for item in items:
        name = item.task.code if item.task else f"{CALCULATION}{item.calculation}"
        by_number = outcomes.setdefault(item.outcome.unit_id, {})
        by_number[item.outcome.number] = (*by_number.get(item.outcome.number, ()), name)
    return [
        (
            unit,
            rule.Unit(
                code=unit.code,
                version=unit.version,
                level=unit.level,
                credits=unit.credits,
                group=unit.group,
                outcomes=outcomes.get(unit.pk, {}),
                first_assessment_on=unit.first_date_for_assessment,
                last_assessment_on=unit.last_date_for_assessment,
                adults_only=unit.min_age is not None,
            ),
        )
        for unit in units
    ]


def pathways_of(
    people: Iterable[Person],
    *,
    on: date,
    known: datetime | None = None,
    only: Qualification | None = None,
    with_earlier: bool = False,
) -> list[PathwayProgress]:
    """Return the progress of each enrolled person on each of their pathways. Fixed queries for any number of people.

    `only` asks about one pathway, whether the people are enrolled or not; `with_earlier` adds the versions that a
    person has moved on from (R8.9).
    """
    people = list(people)
    if not people:
        return []
    rules = rules_of(people, known=known)
    units = unit_rules(people[0].plant_id)
    return [
        progress_on(followed, rules[followed.person.pk], units, on)
        for followed in _followed(people, on=on, known=known, only=only)
        if with_earlier or only is not None or followed.moved_to is None
    ]


def enrolments_of(people: Collection[Person], *, on: date, known: datetime | None = None) -> list[Enrolment]:
    """Return the enrolments of people made by a day, as known, oldest first. One query."""
    rows = enrolments_known(on=on, known=known).filter(person__in=[person.pk for person in people])
    return list(rows.select_related("qualification").order_by("enrolled_on", "pk"))


def enrolments_known(*, on: date, known: datetime | None = None) -> QuerySet[Enrolment]:
    """Return everybody's enrolments made by a day, as known at a moment (None: now)."""
    rows = Enrolment.objects.filter(enrolled_on__lte=on)
    if known is None:
        return rows
    written = LedgerIndex.objects.filter(kind=EntryKind.ENROLMENT, recorded_at__lte=known).values("entry_id")
    return rows.filter(Q(entry_seq=None) | Q(entry_seq__in=written))


def pathways_open_to(person: Person) -> QuerySet[Qualification]:
    """Return the versions of pathways that a person is not and was not on, the newest of each first."""
    rows = Qualification.objects.filter(plant=person.plant_id).exclude(enrolments__person=person)
    return rows.order_by("title", "-version")


def current_enrolments(rows: Sequence[Enrolment]) -> dict[int, Enrolment | None]:
    """Return for each enrolment the later one of the same person on the same pathway, or None where it holds."""
    newest: dict[tuple[int, str], Enrolment] = {}
    later: dict[int, Enrolment | None] = {}
    for row in reversed(rows):
        key = (row.person_id, row.qualification.code)
        later[row.pk] = newest.get(key)
        newest[key] = row
    return later


def _followed(
    people: Collection[Person], *, on: date, known: datetime | None, only: Qualification | None
) -> list[Followed]:
    by_number = {person.pk: person for person in people}
    rows = enrolments_of(people, on=on, known=known)
    later = current_enrolments(rows)
    found = [
        Followed(by_number[row.person_id], row.qualification, row.enrolled_on, later[row.pk])
        for row in rows
        if only is None or row.qualification_id == only.pk
    ]
    if only is None:
        return found
    enrolled = {each.person.pk for each in found}
    return found + [Followed(person, only) for person in people if person.pk not in enrolled]


def progress_on(
    followed: Followed, of_person: PersonRule, units: Sequence[tuple[UnitStandard, rule.Unit]], on: date
) -> PathwayProgress:
    """Return how far a person is on a version of a pathway at the end of a day. No query."""
    asked = qualification_rule(followed.qualification)
    offered = [unit for _, unit in units]
    left_on = followed.moved_to.enrolled_on if followed.moved_to else None
    result = rule.pathway_result(
        of_person.of_units, asked, offered, on, enrolled_on=followed.enrolled_on, left_on=left_on
    )
    records = governing(unit_records(of_person.of_units, on))
    found = []
    for row, unit in units:
        record = records.get(unit.key)
        is_offered = asked.takes(unit) and unit.state_on(on) is not rule.VersionState.DISCONTINUED
        if record is not None or is_offered:
            found.append(_unit_progress((row, unit), record, result, (of_person, on)))
    return PathwayProgress(
        person=followed.person,
        qualification=followed.qualification,
        result=result,
        units=tuple(found),
        enrolled_on=followed.enrolled_on,
        moved_to=followed.moved_to,
    )


def _unit_progress(
    offered: tuple[UnitStandard, rule.Unit],
    record: UnitRecord | None,
    result: rule.PathwayResult,
    asked: tuple[PersonRule, date],
) -> UnitProgress:
    (row, unit), (of_person, on) = offered, asked
    decided = record.decision if record else None
    counts = result.chosen.get(unit.code) == unit.version
    return UnitProgress(
        standard_id=row.pk,
        unit=unit,
        title=row.title,
        state=unit.state_on(on),
        evidence=outcome_evidence(
            unit,
            of_person,
            decided.on if decided else on,
            at=moment_of(of_person, decided) if decided else None,
        ),
        record=record,
        counted=result.counted[unit.code] if counts else 0,
        surplus=result.surplus.get(unit.code, 0) if counts else 0,
        instead=result.excluded.get(unit.key),
        is_outside=unit.key in result.outside,
        flags=flags(record, unit, of_person, end_of(of_person, on)) if record else (),
    )
