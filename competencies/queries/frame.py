"""Reads what must be learned into the frame that the standing rule works with."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import time
from fractions import Fraction
from functools import lru_cache
from typing import Any

from django.db.models import Prefetch

from competencies.models import (
    Plant,
    PlantPolicy,
    Shift,
    Task,
    TaskCalculation,
    TaskPlace,
    TaskRevision,
    TaskTerms,
)
from competencies.standing import framework
from competencies.standing.facts import Check, Conflict, Fact, Moderation, Scope, UnitDecision, UnitReported
from competencies.vocabulary import ChangeClass, Criticality, ScopeKind, YoungWorker


def frame_of(plant: Plant) -> framework.Frame:
    """Return the plant's frame: one query while nothing in it changes, a fixed few when something did."""
    stamp = Plant.objects.values_list("frame_stamp", flat=True).get(pk=plant.pk)
    return _frame_at_stamp(plant.pk, stamp)


@lru_cache(maxsize=8)
def _frame_at_stamp(plant_id: int, _stamp: str) -> framework.Frame:
    plant = Plant.objects.get(pk=plant_id)
    terms = _terms_by_task(plant)
    revisions = _revisions_by_task(plant)
    places = _places_by_task(plant)
    return framework.Frame(
        tasks={
            task.code: framework.TaskFrame(
                code=task.code,
                area=task.area.code,
                scope_kind=ScopeKind(task.scope_kind),
                criticality=Criticality(task.criticality),
                terms=tuple(terms[task.pk]),
                revisions=tuple(revisions[task.pk]),
                held_at=tuple(places[task.pk]),
                recognisable=task.is_recognisable,
            )
            for task in Task.objects.filter(plant=plant).select_related("area")
        },
        policies=tuple(policies_of(plant)),
        shifts={shift.name: shift_frame(shift) for shift in Shift.objects.filter(plant=plant)},
        timezone=plant.timezone,
    )


class Dependents:
    """Which tasks lean on which in a frame, under any of their terms; each answer is kept.

    A task leans on its prerequisites, and on what keeps it fresh.
    """

    def __init__(self, frame: framework.Frame) -> None:
        self.frame = frame
        self._reached: dict[str, frozenset[str]] = {}
        self._leaning: dict[str, set[str]] = defaultdict(set)
        asking: dict[str, set[str]] = defaultdict(set)
        for task in frame.tasks.values():
            for terms in task.terms:
                for prerequisite in terms.prerequisites:
                    self._leaning[prerequisite].add(task.code)
                self._leaning[task.code].update(terms.refreshes)
                for calculation in terms.calculations:
                    asking[calculation].add(task.code)
        self._asking = {calculation: frozenset(codes) for calculation, codes in asking.items()}

    def of(self, code: str) -> frozenset[str]:
        """Return the task and every task that leans on it, directly or through others."""
        found = self._reached.get(code)
        if found is None:
            reached: set[str] = set()
            waiting = [code]
            while waiting:
                current = waiting.pop()
                if current not in reached:
                    reached.add(current)
                    waiting.extend(self._leaning.get(current, ()))
            found = self._reached[code] = frozenset(reached)
        return found

    def written_about(self, fact: Fact) -> frozenset[str] | None:
        """Return the tasks whose standing an entry bears on by itself; None where it bears on every task.

        Its own task and those it refreshes (R3.5), or the tasks that ask for the calculation of a check.
        """
        if isinstance(fact, Conflict | UnitDecision | UnitReported | Moderation):
            return frozenset()
        if isinstance(fact, Check):
            return self._asking.get(fact.calculation, frozenset())
        task = self.frame.tasks.get(fact.task)
        if task is None:
            return None
        return frozenset({task.code}.union(*(terms.refreshes for terms in task.terms)))


def task_area(frame: framework.Frame, code: str) -> str:
    """Return the code of a task's area; "" for no task, which only an authority for the whole plant serves."""
    return frame.tasks[code].area if code in frame.tasks else ""


def with_dependents(frame: framework.Frame, code: str) -> frozenset[str]:
    """Return the task and every task that leans on it, directly or through others, under any of its terms."""
    return Dependents(frame).of(code)


def policies_of(plant: Plant) -> list[framework.Policy]:
    """Return the plant's policies, oldest first, always starting with the trade's usual figures."""
    rows = PlantPolicy.objects.filter(plant=plant).order_by("effective_on", "recorded_at")
    return [framework.Policy(), *(policy_from(row.settings, row) for row in rows)]


def policy_from(settings: Mapping[str, Any], row: PlantPolicy) -> framework.Policy:
    """Return the policy that a row of settings stands for; figures not named keep the usual value."""
    values: dict[str, Any] = {"effective_on": row.effective_on, "recorded_at": row.recorded_at}
    for field in fields(framework.Policy):
        if field.name in settings:
            values[field.name] = _policy_value(settings[field.name], field.default)
    return framework.Policy(**values)


def _policy_value(value: Any, default: Any) -> Any:  # noqa: ANN401 - JSON in, a setting's own type out
    if value is None:
        return None
    if isinstance(default, Fraction):
        return Fraction(str(value))
    if isinstance(default, framework.Pair):
        return framework.Pair(other=value["other"], critical=value["critical"])
    return value


def shift_frame(shift: Shift) -> framework.Shift:
    """Return the shift as the rule reads it."""
    return framework.Shift(name=shift.name, starts=_minutes(shift.starts), ends=_minutes(shift.ends))


def _minutes(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def _terms_by_task(plant: Plant) -> Mapping[int, list[framework.Terms]]:
    rows = (
        TaskTerms.objects.filter(task__plant=plant)
        .order_by("effective_on", "recorded_at")
        .prefetch_related(
            Prefetch("prerequisites", Task.objects.order_by("code").only("code")),
            Prefetch("refreshes", Task.objects.order_by("code").only("code")),
            Prefetch("calculations", TaskCalculation.objects.order_by("calculation")),
        )
    )
    by_task: dict[int, list[framework.Terms]] = defaultdict(list)
    for row in rows:
        by_task[row.task_id].append(
            framework.Terms(
                effective_on=row.effective_on,
                recorded_at=row.recorded_at,
                runs=row.runs,
                distinct_shifts=row.distinct_shifts,
                validity_months=row.validity_months,
                simulated_max=row.simulated_max,
                ranges=row.ranges,
                calculations=tuple(item.calculation for item in row.calculations.all()),
                prerequisites=tuple(task.code for task in row.prerequisites.all()),
                prerequisite_places=_scopes_by_code(row.prerequisite_places),
                refreshes=tuple(task.code for task in row.refreshes.all()),
                young_worker=YoungWorker(row.young_worker),
                grace_days=row.grace_days,
                recency_days=row.recency_days,
                applies_to_held_on=row.applies_to_held_on,
            )
        )
    return by_task


def _scopes_by_code(places: Mapping[str, Iterable[str]]) -> Mapping[str, tuple[Scope, ...]]:
    return {code: tuple(Scope.parse(place) for place in sorted(named)) for code, named in places.items()}


def _revisions_by_task(plant: Plant) -> Mapping[int, list[framework.Revision]]:
    rows = TaskRevision.objects.filter(task__plant=plant).order_by("number").prefetch_related("criteria")
    by_task: dict[int, list[framework.Revision]] = defaultdict(list)
    for row in rows:
        criteria = sorted(row.criteria.all(), key=lambda criterion: criterion.number)
        by_task[row.task_id].append(
            framework.Revision(
                number=row.number,
                approved_on=row.approved_on,
                effective_on=row.effective_on,
                recorded_at=row.recorded_at,
                change=ChangeClass.MAJOR if row.reclassified_at else ChangeClass(row.change),
                reclassified_at=row.reclassified_at,
                touches=tuple(row.touches),
                criteria=tuple(criterion.number for criterion in criteria),
                critical_criteria=frozenset(c.number for c in criteria if c.is_critical),
                scope_criteria=tuple(c.number for c in criteria if c.is_scope_specific),
                carries_runs=Fraction(row.carries_runs) if row.carries_runs else None,
            )
        )
    return by_task


def _places_by_task(plant: Plant) -> Mapping[int, list[Scope]]:
    rows: Iterable[TaskPlace] = TaskPlace.objects.filter(task__plant=plant).select_related("line", "machine")
    by_task: dict[int, list[Scope]] = defaultdict(list)
    for row in rows:
        by_task[row.task_id].append(Scope(row.line.code, row.machine.code if row.machine else ""))
    return by_task
