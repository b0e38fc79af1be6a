"""The issues of a task's procedure: each as a syllabus file would hold it, so that any two can be compared."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch

from competencies.importing.syllabus import ProcedureRow
from competencies.models import Criterion, Reading, Task, TaskRevision
from competencies.queries.syllabus import procedure_row
from competencies.vocabulary import ChangeClass


@dataclass(frozen=True, slots=True)
class Issue:
    """A revision and what it asks."""

    revision: TaskRevision
    procedure: ProcedureRow


def issues_of(task: Task) -> Sequence[Issue]:
    """Return every revision of a task, the newest first. Three queries for any number."""
    rows = (
        TaskRevision.objects.filter(task=task)
        .select_related("approved_by", "second_approved_by")
        .prefetch_related(
            Prefetch("criteria", Criterion.objects.order_by("number")),
            Prefetch("readings", Reading.objects.order_by("number")),
        )
        .order_by("-number")
    )
    return [Issue(row, procedure_row(row)) for row in rows]


def two_issues(issues: Sequence[Issue], *, old: str, new: str) -> tuple[Issue, Issue] | None:
    """Return the two that are asked for by number, the older first; by default the newest and the one before it.

    None where a number is not one of the task's, or where there are no two.
    """
    numbered = {str(issue.revision.number): issue for issue in issues}
    newest = numbered.get(new) if new else next(iter(issues), None)
    if newest is None:
        return None
    before = [issue for issue in issues if issue.revision.number < newest.revision.number]
    other = numbered.get(old) if old else next(iter(before), None)
    if other is None or other is newest:
        return None
    first, second = sorted((other, newest), key=lambda issue: issue.revision.number)
    return first, second


@dataclass(frozen=True, slots=True, kw_only=True)
class IssueAsked:
    """What is to be issued. `base` is the number of the revision that it was made from (0: there is none).

    `carries_runs` is the part of the runs made before that carries over, as "1/2"; empty: the plant's policy says.
    """

    procedure: ProcedureRow
    base: int
    change: ChangeClass
    touches: tuple[int, ...]
    approved_on: date
    effective_on: date
    note: str
    carries_runs: str = ""
