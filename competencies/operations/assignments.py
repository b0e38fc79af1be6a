"""Assignments: a trainer asks for floor tasks."""

from collections.abc import Sequence
from datetime import datetime

from django.db import IntegrityError, transaction

from competencies.models import Assignment, Person
from competencies.queries.clashes import Clash, Plan, clashes_of
from competencies.vocabulary import ScopeKind


class ClashError(Exception):
    """The plan clashes; `clashes` names everything at once."""

    def __init__(self, clashes: Sequence[Clash]) -> None:
        self.clashes = tuple(clashes)
        super().__init__(", ".join(clash.code for clash in clashes))


@transaction.atomic
def assign(*, plan: Plan, by: Person, now: datetime, seen: bool = False, note: str = "") -> list[Assignment]:
    """Ask each person of the plan for each of its tasks. Raises ClashError with every clash.

    `seen` says that the clashes which do not block were shown and the trainer wants it all the same.
    """
    clashes = clashes_of(plan)
    if any(clash.blocks for clash in clashes) or (clashes and not seen):
        raise ClashError(clashes)
    asked = [
        Assignment(
            plant=plan.trainer.plant,
            person=person,
            task=task,
            line=plan.line,
            machine=plan.machine if task.scope_kind == ScopeKind.MACHINE else None,
            on=plan.on,
            shift=plan.shift,
            trainer=plan.trainer,
            note=note,
            created_by=by,
            created_at=now,
        )
        for person in plan.people
        for task in plan.tasks
    ]
    try:
        with transaction.atomic():
            return Assignment.objects.bulk_create(asked)
    except IntegrityError as error:
        # Somebody else asked for the same at the same moment: name it as the clash it is.
        raise ClashError(clashes_of(plan)) from error


@transaction.atomic
def drop_assignment(*, assignment: Assignment) -> None:
    """Call an assignment off; it stays readable."""
    Assignment.objects.filter(pk=assignment.pk, state=Assignment.State.PLANNED).update(state=Assignment.State.DROPPED)


class AssignmentClosedError(Exception):
    """The assignment is done or was called off: it asks for no run any more."""


@transaction.atomic
def close_assignment(*, assignment: Assignment, entry_seq: int) -> None:
    """Mark an assignment as done by a ledger entry. Raises AssignmentClosedError when it is not open any more."""
    planned = Assignment.objects.filter(pk=assignment.pk, state=Assignment.State.PLANNED)
    if not planned.update(state=Assignment.State.DONE, done_seq=entry_seq):
        raise AssignmentClosedError
