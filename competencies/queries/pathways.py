"""How far people are along a pathway, in credits."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Enrolment, OutcomeItem, Person, Qualification, UnitStandard
from competencies.queries.facts import rules_of
from competencies.standing import credits as rule
from competencies.standing.rule import PersonRule


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitProgress:
    """One unit for one person: which outcomes stand, and what was decided. `counted` are the credits that count."""

    unit: rule.Unit
    title: str
    outcomes_met: Mapping[int, bool]
    decided_on: date | None
    counted: int
    surplus: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PathwayProgress:
    """A person on a pathway on a day."""

    person: Person
    qualification: Qualification
    result: rule.PathwayResult
    units: tuple[UnitProgress, ...]


def qualification_rule(row: Qualification) -> rule.Qualification:
    """Return a qualification as the credit rule reads it."""
    rules = list(row.rules)
    level = next((item for item in rules if item["rule"] == "min_at_level_or_above"), {"level": 0, "credits": 0})
    return rule.Qualification(
        code=row.code,
        total=row.min_total_credits,
        core=next((item["group"] for item in rules if item["rule"] == "all"), ""),
        minimum={item["group"]: item["credits"] for item in rules if item["rule"] == "min"},
        maximum={item["group"]: item["credits"] for item in rules if item["rule"] == "max"},
        level=level["level"],
        level_credits=level["credits"],
        exclusions=tuple(frozenset(_unit_version(name) for name in pair) for pair in row.exclusions),
    )


def _unit_version(name: str) -> tuple[str, int]:
    code, _, version = name.rpartition("v")
    return code, int(version)


def unit_rules(plant_id: int) -> list[tuple[UnitStandard, rule.Unit]]:
    """Return every unit version of a plant with its outcomes, as the credit rule reads it. Two queries."""
    units = UnitStandard.objects.filter(plant=plant_id).order_by("code", "version")
    items = OutcomeItem.objects.filter(outcome__unit__plant=plant_id).select_related("outcome", "task").order_by("pk")
    outcomes: dict[int, dict[int, tuple[str, ...]]] = {}
    for item in items:
        name = item.task.code if item.task else f"calc:{item.calculation}"
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
                last_assessment_on=unit.last_date_for_assessment,
                adults_only=unit.min_age is not None,
            ),
        )
        for unit in units
    ]


def pathways_of(
    people: Iterable[Person], *, on: date, known: datetime | None = None, only: Qualification | None = None
) -> list[PathwayProgress]:
    """Return the progress of each enrolled person on each of their pathways. Fixed queries for any number of people.

    `only` asks about one pathway, whether the people are enrolled or not.
    """
    people = list(people)
    if not people:
        return []
    rules = rules_of(people, known=known)
    units = unit_rules(people[0].plant_id)
    return [
        _progress(person, qualification, rules[person.pk], units, on)
        for person, qualification in _enrolled(people, only)
    ]


def _enrolled(people: Collection[Person], only: Qualification | None) -> list[tuple[Person, Qualification]]:
    if only is not None:
        return [(person, only) for person in people]
    by_number = {person.pk: person for person in people}
    rows = Enrolment.objects.filter(person__in=by_number).select_related("qualification").order_by("enrolled_on")
    return [(by_number[row.person_id], row.qualification) for row in rows]


def _progress(
    person: Person,
    qualification: Qualification,
    of_person: PersonRule,
    units: list[tuple[UnitStandard, rule.Unit]],
    on: date,
) -> PathwayProgress:
    decisions = of_person.unit_decisions
    result = rule.pathway_result(decisions, qualification_rule(qualification), [unit for _, unit in units], on)
    decided = {(item.unit, item.version): item.on for item in decisions if item.on <= on}
    found = []
    for row, unit in units:
        decided_on = decided.get((unit.code, unit.version))
        superseded = unit.last_assessment_on is not None and unit.last_assessment_on < on
        if superseded and decided_on is None:
            continue
        found.append(
            UnitProgress(
                unit=unit,
                title=row.title,
                outcomes_met=rule.outcomes_met(unit, of_person, on),
                decided_on=decided_on,
                counted=result.counted.get(unit.code, 0) if decided_on else 0,
                surplus=result.surplus.get(unit.code, 0) if decided_on else 0,
            )
        )
    return PathwayProgress(person=person, qualification=qualification, result=result, units=tuple(found))
