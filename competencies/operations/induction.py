"""An induction set is issued: what a starter of an area and role goes through, from a day on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from competencies.models import Area, InductionIssue, InductionTask, Person, Task


@dataclass(frozen=True, slots=True, kw_only=True)
class StepAsked:
    """A task of the set, due so many days after the start; a gate comes before any run of other tasks."""

    task: Task
    due_days: int
    is_gate: bool


@transaction.atomic
def issue_induction(
    *, area: Area | None, role: str, from_on: date, steps: Sequence[StepAsked], by: Person, now: datetime
) -> InductionIssue:
    """Issue a set for whoever starts from a day on. Who started before stays under the set of then.

    A set without steps asks nothing of who starts from that day on.
    """
    issue = InductionIssue.objects.create(
        plant=by.plant, area=area, role=role, from_on=from_on, created_by=by, created_at=now
    )
    InductionTask.objects.bulk_create(
        InductionTask(issue=issue, task=step.task, due_days=step.due_days, is_gate=step.is_gate) for step in steps
    )
    return issue
