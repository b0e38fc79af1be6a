"""The plant's syllabus as it stands now, in the shape of a syllabus file, and what people's records rest on."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from django.db.models import Prefetch

from competencies.importing.differences import InUse
from competencies.importing.pathway_section import CALCULATION_PREFIX
from competencies.importing.people import KnownPlant
from competencies.importing.syllabus import (
    AreaRow,
    CalculationAsked,
    CriterionRow,
    LineRow,
    MachineRow,
    ProcedureRow,
    QualificationRow,
    ReadingRow,
    SyllabusFile,
    TaskRow,
    TermsRow,
    UnitRow,
)
from competencies.ledger.reading import facts_of
from competencies.models import (
    Area,
    Crew,
    Criterion,
    LedgerEntry,
    LedgerIndex,
    Line,
    Machine,
    OutcomeItem,
    Person,
    Plant,
    Qualification,
    Reading,
    Task,
    TaskCalculation,
    TaskPlace,
    TaskRevision,
    TaskTerms,
    UnitOutcome,
    UnitStandard,
)
from competencies.standing.facts import UnitDecision
from competencies.vocabulary import Criticality, EntryKind, ScopeKind, YoungWorker


def current_syllabus(plant: Plant) -> SyllabusFile:
    """Return the plant's syllabus with the newest terms and the newest issue of each procedure, coming ones too.

    Everything is in the order of its codes. The number of queries is the same however long the syllabus is.
    """
    terms = {row.task_id: row for row in _terms(plant)}
    revisions = {row.task_id: row for row in _revisions(plant)}
    tasks = (
        Task.objects.filter(plant=plant)
        .select_related("area")
        .prefetch_related(Prefetch("places", TaskPlace.objects.select_related("line", "machine")))
        .order_by("code")
    )
    rows = tuple(_task_row(task, terms.get(task.pk), revisions.get(task.pk)) for task in tasks)
    units = tuple(_unit_rows(plant))
    return SyllabusFile(
        areas=tuple(AreaRow(code=area.code, title=area.title) for area in _by_code(Area, plant)),
        lines=tuple(_line_rows(plant)),
        calculations=_calculation_codes(rows, units),
        tasks=rows,
        units=units,
        qualifications=tuple(_qualification_rows(plant)),
    )


def in_use(plant: Plant) -> InUse:
    """Return the tasks, unit versions and pathways that people's records rest on. Three queries."""
    tasks = LedgerIndex.objects.filter(plant=plant, person__isnull=False).exclude(task="")
    decided = LedgerEntry.objects.filter(index__plant=plant, index__kind=EntryKind.UNIT_DECISION)
    decisions = (fact for fact in facts_of(decided) if isinstance(fact, UnitDecision))
    followed = Qualification.objects.filter(plant=plant, enrolments__isnull=False).distinct()
    return InUse(
        tasks=frozenset(tasks.values_list("task", flat=True).distinct()),
        units=frozenset(f"{decision.unit}v{decision.version}" for decision in decisions),
        qualifications=frozenset(f"{row.code}v{row.version}" for row in followed),
    )


def known_plant(plant: Plant) -> KnownPlant:
    """Return what a spreadsheet of people is read against. Three queries."""
    return KnownPlant(
        crews=frozenset(Crew.objects.filter(plant=plant).values_list("code", flat=True)),
        areas=frozenset(Area.objects.filter(plant=plant).values_list("code", flat=True)),
        names=dict(Person.objects.filter(plant=plant).values_list("works_number", "name")),
    )


def _by_code(model: type[Area], plant: Plant) -> Iterable[Area]:
    return model.objects.filter(plant=plant).order_by("code")


def _line_rows(plant: Plant) -> Iterable[LineRow]:
    machines = Prefetch("machines", Machine.objects.order_by("code"))
    for line in Line.objects.filter(plant=plant).order_by("code").prefetch_related(machines):
        rows = tuple(MachineRow(code=machine.code, title=machine.title) for machine in line.machines.all())
        yield LineRow(code=line.code, title=line.title, machines=rows)


def _terms(plant: Plant) -> Iterable[TaskTerms]:
    return (
        TaskTerms.objects.filter(task__plant=plant)
        .order_by("effective_on", "recorded_at")
        .prefetch_related(
            Prefetch("prerequisites", Task.objects.only("code")),
            Prefetch("refreshes", Task.objects.only("code")),
            Prefetch("calculations", TaskCalculation.objects.order_by("calculation")),
        )
    )


def _revisions(plant: Plant) -> Iterable[TaskRevision]:
    return (
        TaskRevision.objects.filter(task__plant=plant)
        .order_by("number")
        .prefetch_related(
            Prefetch("criteria", Criterion.objects.order_by("number")),
            Prefetch("readings", Reading.objects.order_by("number")),
        )
    )


def _task_row(task: Task, terms: TaskTerms | None, revision: TaskRevision | None) -> TaskRow:
    return TaskRow(
        code=task.code,
        title=task.title,
        area=task.area.code,
        level=task.level,
        scope=ScopeKind(task.scope_kind),
        critical=Criticality(task.criticality),
        places=frozenset(
            f"{place.line.code}/{place.machine.code}" if place.machine else place.line.code
            for place in task.places.all()
        ),
        recognisable=task.is_recognisable,
        terms=_terms_row(terms) if terms else TermsRow(),
        procedure=procedure_row(revision) if revision else ProcedureRow(),
    )


def _terms_row(terms: TaskTerms) -> TermsRow:
    return TermsRow(
        runs=terms.runs,
        distinct_shifts=terms.distinct_shifts,
        simulated_max=terms.simulated_max,
        ranges=dict(terms.ranges),
        validity_months=terms.validity_months,
        young_worker=YoungWorker(terms.young_worker),
        min_age=terms.min_age,
        grace_days=terms.grace_days,
        recency_days=terms.recency_days,
        prerequisites=frozenset(task.code for task in terms.prerequisites.all()),
        prerequisite_places={code: frozenset(places) for code, places in terms.prerequisite_places.items()},
        refreshes=frozenset(task.code for task in terms.refreshes.all()),
        calculations=tuple(
            CalculationAsked(code=item.calculation, problems=item.problems, pass_mark=item.pass_mark)
            for item in terms.calculations.all()
        ),
    )


def procedure_row(revision: TaskRevision) -> ProcedureRow:
    """Return a revision's procedure as a syllabus file would hold it; its criteria and readings in their order."""
    return ProcedureRow(
        criteria=tuple(
            CriterionRow(
                text=criterion.text,
                is_critical=criterion.is_critical,
                is_scope_specific=criterion.is_scope_specific,
            )
            for criterion in revision.criteria.all()
        ),
        readings=tuple(_reading_row(reading) for reading in revision.readings.all()),
        hazards=tuple(revision.hazards),
        protective_equipment=tuple(revision.protective_equipment),
        evidence=revision.evidence,
    )


def _reading_row(reading: Reading) -> ReadingRow:
    return ReadingRow(
        name=reading.name,
        unit=reading.unit,
        target=reading.target,
        target_text=reading.target_text,
        low=reading.low,
        high=reading.high,
        paired_tolerance=reading.paired_tolerance,
        source=reading.source,
    )


def _unit_rows(plant: Plant) -> Iterable[UnitRow]:
    items: Mapping[int, list[str]] = _items_by_outcome(plant)
    outcomes = Prefetch("outcomes", UnitOutcome.objects.order_by("number"))
    for unit in UnitStandard.objects.filter(plant=plant).order_by("code", "version").prefetch_related(outcomes):
        yield UnitRow(
            code=unit.code,
            version=unit.version,
            title=unit.title,
            level=unit.level,
            credits=unit.credits,
            group=unit.group,
            outcomes=tuple(tuple(items[outcome.pk]) for outcome in unit.outcomes.all()),
            first_date_for_assessment=unit.first_date_for_assessment,
            last_date_for_assessment=unit.last_date_for_assessment,
            min_age=unit.min_age,
        )


def _items_by_outcome(plant: Plant) -> Mapping[int, list[str]]:
    found: dict[int, list[str]] = defaultdict(list)
    for item in OutcomeItem.objects.filter(outcome__unit__plant=plant).select_related("task").order_by("pk"):
        code = item.task.code if item.task else f"{CALCULATION_PREFIX}{item.calculation}"
        found[item.outcome_id].append(code)
    return found


def _qualification_rows(plant: Plant) -> Iterable[QualificationRow]:
    for row in Qualification.objects.filter(plant=plant).order_by("code", "version"):
        yield QualificationRow(
            code=row.code,
            version=row.version,
            title=row.title,
            min_total_credits=row.min_total_credits,
            rules=tuple(row.rules),
            exclusions=tuple(tuple(pair) for pair in row.exclusions),
            last_date_to_enrol=row.last_date_to_enrol,
            last_date_to_achieve=row.last_date_to_achieve,
        )


def _calculation_codes(tasks: Iterable[TaskRow], units: Iterable[UnitRow]) -> tuple[str, ...]:
    asked = {calculation.code for task in tasks for calculation in task.terms.calculations}
    items = (item for unit in units for outcome in unit.outcomes for item in outcome)
    asked |= {item.removeprefix(CALCULATION_PREFIX) for item in items if item.startswith(CALCULATION_PREFIX)}
    return tuple(sorted(asked))
