"""Taking a syllabus file: areas, lines, tasks, their terms and procedures, unit standards and pathways.

What stands is never edited where a sign-off may rest on it: changed terms are a new row, a changed procedure is the
next revision, and both are written into the ledger.
"""

import zoneinfo
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction
from django.utils.translation import gettext as _

from competencies.importing.differences import Change, ChangeKind, Differences, differences
from competencies.importing.pathway_section import CALCULATION_PREFIX
from competencies.importing.syllabus import (
    LineRow,
    ProcedureRow,
    QualificationRow,
    SyllabusFile,
    TaskRow,
    TermsRow,
    UnitRow,
)
from competencies.ledger.writer import writing
from competencies.models import (
    Area,
    Criterion,
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
from competencies.operations.framework import frame_changed, record_revision, record_terms
from competencies.operations.pins import Signer
from competencies.operations.telling import tell_of_revision
from competencies.queries.syllabus import current_syllabus, in_use
from competencies.vocabulary import ChangeClass


class SyllabusError(Exception):
    """The syllabus was not taken, and nothing of it was; the message may be shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SyllabusDecision:
    """What was decided about a file.

    `effective_on` is the day from which it holds, where the file itself names none; `classes` the class of each
    changed procedure by task code, where it is not to be the file's; `seconded_by` who agreed besides the bringer.
    """

    file: SyllabusFile
    effective_on: date
    classes: Mapping[str, ChangeClass] = field(default_factory=dict)
    seconded_by: Person | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportResult:
    """What was taken, and how many tasks of the file were as they are."""

    changes: tuple[Change, ...]
    unchanged_tasks: int


@writing()
def import_syllabus(*, plant: Plant, decision: SyllabusDecision, by: Signer, now: datetime) -> ImportResult:
    """Take a syllabus file: all of it or nothing. The same file a second time changes nothing.

    Raises
    ------
    SyllabusError
        When a change would alter what people's records rest on; when the procedure of a task that the plant already
        has changes and no second person agreed; when the days are out of order.

    """
    found = differences(decision.file, current_syllabus(plant), in_use=in_use(plant))
    _refuse_changes(found, decision, by)
    _Import(plant, decision, by, now).take(found)
    return ImportResult(changes=found.changes, unchanged_tasks=found.unchanged_tasks)


def _refuse_changes(found: Differences, decision: SyllabusDecision, by: Signer) -> None:
    if found.refusals:
        first = found.refusals[0]
        raise SyllabusError(f"{first.code}: {_(first.refusal)}")
    second = decision.seconded_by
    if found.revised and second is None:
        raise SyllabusError(_("Two people decide what a changed procedure asks of its holders. Name the second."))
    if second is not None and second.pk == by.person.pk:
        raise SyllabusError(_("The second person must be another than the one who brings the file."))
    if second is not None and second.plant_id != by.person.plant_id:
        raise SyllabusError(_("The second person must be of this plant."))


class _Import:
    """Writes the rows first and the ledger last, so that no entry is judged against half a syllabus."""

    def __init__(self, plant: Plant, decision: SyllabusDecision, by: Signer, now: datetime) -> None:
        self.plant = plant
        self.decision = decision
        self.file = decision.file
        self.by = by
        self.now = now
        self.today = now.astimezone(zoneinfo.ZoneInfo(plant.timezone)).date()
        self.new_terms: list[TaskTerms] = []
        self.new_revisions: list[TaskRevision] = []

    def take(self, found: Differences) -> None:
        """Write everything that differs."""
        wanted = {kind: [change for change in found.changes if change.kind is kind] for kind in ChangeKind}
        self._write_areas(_codes(wanted[ChangeKind.AREA]))
        self._write_lines(_codes(wanted[ChangeKind.LINE]))
        about = _codes(wanted[ChangeKind.NEW_TASK]) | _codes(wanted[ChangeKind.TASK])
        self._write_tasks(about)
        self._write_all_terms(_codes(wanted[ChangeKind.NEW_TASK]) | _codes(wanted[ChangeKind.TERMS]))
        self._write_procedures(wanted[ChangeKind.NEW_TASK], wanted[ChangeKind.PROCEDURE])
        self._write_units(_codes(wanted[ChangeKind.UNIT]))
        self._write_qualifications(_codes(wanted[ChangeKind.QUALIFICATION]))
        self._record(_codes(wanted[ChangeKind.TASK]))

    def _write_areas(self, codes: frozenset[str]) -> None:
        for area in self.file.areas:
            if area.code in codes:
                Area.objects.update_or_create(plant=self.plant, code=area.code, defaults={"title": area.title})

    def _write_lines(self, codes: frozenset[str]) -> None:
        for row in self.file.lines:
            if row.code in codes:
                self._write_line(row)

    def _write_line(self, row: LineRow) -> None:
        line, _created = Line.objects.update_or_create(plant=self.plant, code=row.code, defaults={"title": row.title})
        for machine in row.machines:
            Machine.objects.update_or_create(line=line, code=machine.code, defaults={"title": machine.title})

    def _write_tasks(self, codes: frozenset[str]) -> None:
        areas = {area.code: area for area in Area.objects.filter(plant=self.plant)}
        places = self._places()
        for row in self.file.tasks:
            if row.code in codes:
                task, _created = Task.objects.update_or_create(
                    plant=self.plant,
                    code=row.code,
                    defaults={
                        "area": areas[row.area],
                        "title": row.title,
                        "level": row.level,
                        "scope_kind": row.scope,
                        "criticality": row.critical,
                        "is_recognisable": row.recognisable,
                    },
                )
                task.places.all().delete()
                TaskPlace.objects.bulk_create(
                    TaskPlace(task=task, line=places[code][0], machine=places[code][1]) for code in sorted(row.places)
                )

    def _places(self) -> dict[str, tuple[Line, Machine | None]]:
        found: dict[str, tuple[Line, Machine | None]] = {}
        for line in Line.objects.filter(plant=self.plant).prefetch_related("machines"):
            found[line.code] = (line, None)
            for machine in line.machines.all():
                found[f"{line.code}/{machine.code}"] = (line, machine)
        return found

    def _write_all_terms(self, codes: frozenset[str]) -> None:
        tasks = self._tasks()
        for row in self.file.tasks:
            if row.code in codes:
                self.new_terms.append(self._write_terms(tasks, row))

    def _write_terms(self, tasks: Mapping[str, Task], row: TaskRow) -> TaskTerms:
        asked: TermsRow = row.terms
        effective_on = row.release.effective_on or self.decision.effective_on
        if tasks[row.code].terms.filter(effective_on__gt=effective_on).exists():
            message = _("%(code)s: later terms stand already; give a day that is not before theirs.")
            raise SyllabusError(message % {"code": row.code})
        terms = TaskTerms.objects.create(
            task=tasks[row.code],
            effective_on=effective_on,
            recorded_at=self.now,
            runs=asked.runs,
            distinct_shifts=asked.distinct_shifts,
            simulated_max=asked.simulated_max,
            ranges=dict(asked.ranges),
            validity_months=asked.validity_months,
            young_worker=asked.young_worker,
            min_age=asked.min_age,
            grace_days=asked.grace_days,
            recency_days=asked.recency_days,
            prerequisite_places={code: sorted(places) for code, places in asked.prerequisite_places.items()},
        )
        terms.prerequisites.set([tasks[code] for code in sorted(asked.prerequisites)])
        terms.refreshes.set([tasks[code] for code in sorted(asked.refreshes)])
        TaskCalculation.objects.bulk_create(
            TaskCalculation(terms=terms, calculation=item.code, problems=item.problems, pass_mark=item.pass_mark)
            for item in asked.calculations
        )
        return terms

    def _tasks(self) -> dict[str, Task]:
        return {task.code: task for task in Task.objects.filter(plant=self.plant).select_related("plant")}

    def _write_procedures(self, new: list[Change], revised: list[Change]) -> None:
        tasks = self._tasks()
        newest: dict[int, TaskRevision] = {}
        for revision in TaskRevision.objects.filter(task__plant=self.plant).order_by("number"):
            newest[revision.task_id] = revision
        changes = {change.code: change for change in (*new, *revised)}
        for row in self.file.tasks:
            if row.code in changes:
                task = tasks[row.code]
                self._write_revision(task, row, changes[row.code], newest.get(task.pk))

    def _write_revision(self, task: Task, row: TaskRow, change: Change, before: TaskRevision | None) -> None:
        effective_on = row.release.effective_on or self.decision.effective_on
        approved_on = row.release.approved_on or min(self.today, effective_on)
        if before is not None and effective_on < before.effective_on:
            message = _("%(code)s: a new revision cannot be in force before the one it follows (%(day)s).")
            raise SyllabusError(message % {"code": row.code, "day": before.effective_on})
        if approved_on > effective_on:
            raise SyllabusError(
                _("%(code)s: a procedure cannot be in force before it is approved.") % {"code": row.code}
            )
        revision = TaskRevision.objects.create(
            task=task,
            number=before.number + 1 if before else 1,
            change=self.decision.classes.get(row.code) or change.asked or ChangeClass.MAJOR,
            approved_on=approved_on,
            effective_on=effective_on,
            recorded_at=self.now,
            approved_by=self.by.person,
            second_approved_by=self.decision.seconded_by,
            change_note=row.release.note,
            hazards=list(row.procedure.hazards),
            protective_equipment=list(row.procedure.protective_equipment),
            evidence=row.procedure.evidence,
            touches=list(change.touched),
            carries_runs=row.release.carries_runs,
        )
        write_procedure(revision=revision, procedure=row.procedure)
        self.new_revisions.append(revision)

    def _write_units(self, codes: frozenset[str]) -> None:
        tasks = self._tasks()
        for row in self.file.units:
            if row.key in codes:
                self._write_unit(row, tasks)

    def _write_unit(self, row: UnitRow, tasks: Mapping[str, Task]) -> None:
        unit, created = UnitStandard.objects.update_or_create(
            plant=self.plant,
            code=row.code,
            version=row.version,
            defaults={
                "title": row.title,
                "level": row.level,
                "credits": row.credits,
                "group": row.group,
                "first_date_for_assessment": row.first_date_for_assessment,
                "last_date_for_assessment": row.last_date_for_assessment,
                "min_age": row.min_age,
            },
        )
        if not created:
            unit.outcomes.all().delete()
        for number, items in enumerate(row.outcomes, start=1):
            outcome = UnitOutcome.objects.create(unit=unit, number=number)
            OutcomeItem.objects.bulk_create(_outcome_item(outcome, item, tasks) for item in items)

    def _write_qualifications(self, codes: frozenset[str]) -> None:
        for row in self.file.qualifications:
            if row.key in codes:
                self._write_qualification(row)

    def _write_qualification(self, row: QualificationRow) -> None:
        Qualification.objects.update_or_create(
            plant=self.plant,
            code=row.code,
            version=row.version,
            defaults={
                "title": row.title,
                "min_total_credits": row.min_total_credits,
                "rules": [dict(rule) for rule in row.rules],
                "exclusions": [list(pair) for pair in row.exclusions],
                "last_date_to_enrol": row.last_date_to_enrol,
                "last_date_to_achieve": row.last_date_to_achieve,
            },
        )

    def _record(self, changed: frozenset[str]) -> None:
        for terms in self.new_terms:
            record_terms(terms=terms, signer=self.by, now=self.now)
        for revision in self.new_revisions:
            record_revision(revision=revision, signer=self.by, now=self.now)
            if revision.number > 1:
                tell_of_revision(revision=revision, on=self.today, now=self.now)
        for code in sorted(changed):
            frame_changed(plant=self.plant, task=code, now=self.now)


def _codes(changes: Iterable[Change]) -> frozenset[str]:
    return frozenset(change.code for change in changes)


@transaction.atomic
def write_procedure(*, revision: TaskRevision, procedure: ProcedureRow) -> None:
    """Write the criteria and readings of a revision whose row stands already."""
    Criterion.objects.bulk_create(
        Criterion(
            revision=revision,
            number=number,
            text=row.text,
            is_critical=row.is_critical,
            is_scope_specific=row.is_scope_specific,
        )
        for number, row in enumerate(procedure.criteria, start=1)
    )
    Reading.objects.bulk_create(
        Reading(
            revision=revision,
            number=number,
            name=row.name,
            unit=row.unit,
            target=row.target,
            target_text=row.target_text,
            low=row.low,
            high=row.high,
            paired_tolerance=row.paired_tolerance,
            source=row.source,
        )
        for number, row in enumerate(procedure.readings, start=1)
    )


def _outcome_item(outcome: UnitOutcome, item: str, tasks: Mapping[str, Task]) -> OutcomeItem:
    if item.startswith(CALCULATION_PREFIX):
        return OutcomeItem(outcome=outcome, calculation=item.removeprefix(CALCULATION_PREFIX))
    return OutcomeItem(outcome=outcome, task=tasks[item])
