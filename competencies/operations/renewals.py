"""Renewals are asked for in one go, each as an assignment with the assessor who is to watch it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from competencies.models import Assignment, Person, Plant
from competencies.operations.assignments import ClashError
from competencies.queries.clashes import Plan, clashes_of_all, scope_for
from competencies.queries.renewal_ground import Held, planned_held
from competencies.standing.calendar import clock_of
from competencies.vocabulary import ScopeKind


@dataclass(frozen=True, slots=True)
class AskedFor:
    """How many renewals were asked for now, and how many had been before."""

    made: int
    already: int


@transaction.atomic
def ask_for_renewals(*, plans: Sequence[Plan], by: Person, now: datetime, seen: bool = False) -> AskedFor:
    """Ask for the renewal in each plan: one person, one task, with the assessor as the trainer.

    What is asked for already, on whatever day to come, is left as it is: sending a form twice asks once. Raises
    ClashError with every clash, and then nothing is asked for; `seen` takes those that do not block.
    """
    if not plans:
        return AskedFor(0, 0)
    # Two coordinators who ask at the same time wait for each other.
    plant = Plant.objects.select_for_update().get(pk=by.plant_id)
    asked = _asked_already(plans, plant, clock_of(plant.timezone).day(now))
    fresh = list({held: plan for plan in plans if (held := _held(plan)) not in asked}.values())
    clashes = [clash for found in clashes_of_all(fresh) for clash in found if clash.blocks or not seen]
    if clashes:
        raise ClashError(clashes)
    try:
        with transaction.atomic():
            Assignment.objects.bulk_create([_assignment(plan, by, now) for plan in fresh])
    except IntegrityError as error:
        raise ClashError([clash for found in clashes_of_all(fresh) for clash in found]) from error
    return AskedFor(len(fresh), len(plans) - len(fresh))


def _held(plan: Plan) -> Held:
    [person], [task] = plan.people, plan.tasks
    return person.pk, task.code, str(scope_for(task, plan.line, plan.machine) or "")


def _asked_already(plans: Sequence[Plan], plant: Plant, on: date) -> set[Held | None]:
    rows = Assignment.objects.filter(
        plant=plant,
        state=Assignment.State.PLANNED,
        person__in=[person for plan in plans for person in plan.people],
        on__gte=on,
    )
    return {planned_held(row) for row in rows.select_related("task", "line", "machine")}


def _assignment(plan: Plan, by: Person, now: datetime) -> Assignment:
    [person], [task] = plan.people, plan.tasks
    return Assignment(
        plant=by.plant,
        person=person,
        task=task,
        line=plan.line,
        machine=plan.machine if task.scope_kind == ScopeKind.MACHINE else None,
        on=plan.on,
        shift=plan.shift,
        trainer=plan.trainer,
        note=_("Renewal"),
        created_by=by,
        created_at=now,
    )
