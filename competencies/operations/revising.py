"""A task's procedure is issued anew on the site: by two people, through the ledger (R4.1)."""

from datetime import datetime

from competencies.ledger.writer import writing
from competencies.models import Task, TaskRevision
from competencies.operations.framework import record_revision
from competencies.operations.pins import Signer
from competencies.operations.recording import refuse_if
from competencies.operations.syllabus import write_procedure
from competencies.operations.telling import tell_of_revision
from competencies.queries.facts import grants_of
from competencies.queries.frame import frame_of
from competencies.queries.revisions import IssueAsked
from competencies.standing.calendar import clock_of
from competencies.standing.office import NewIssue, refuse_issue


@writing()
def issue_revision(*, task: Task, asked: IssueAsked, by: Signer, second: Signer, now: datetime) -> TaskRevision:
    """Issue the next revision of a task. Raises RefusedError with every reason; both people have proved who they are.

    Whoever holds or learns the task is judged by it from its day on, and is told; so are those who train and lead in
    the area. What was answered for earlier days stays.
    """
    frame = frame_of(task.plant)
    grants = grants_of([by.person.pk, second.person.pk])
    decision = NewIssue(
        task=task.code,
        base=asked.base,
        approved_on=asked.approved_on,
        effective_on=asked.effective_on,
        touches=asked.touches,
        criteria=len(asked.procedure.criteria),
        by=by.person.pk,
        second=second.person.pk,
        on=clock_of(frame.timezone).day(now),
    )
    refuse_if(refuse_issue(decision, frame=frame, grants=grants[by.person.pk], second_grants=grants[second.person.pk]))
    revision = TaskRevision.objects.create(
        task=task,
        number=asked.base + 1,
        change=asked.change,
        approved_on=asked.approved_on,
        effective_on=asked.effective_on,
        recorded_at=now,
        approved_by=by.person,
        second_approved_by=second.person,
        change_note=asked.note,
        hazards=list(asked.procedure.hazards),
        protective_equipment=list(asked.procedure.protective_equipment),
        evidence=asked.procedure.evidence,
        touches=list(asked.touches),
        carries_runs=asked.carries_runs,
    )
    write_procedure(revision=revision, procedure=asked.procedure)
    record_revision(revision=revision, signer=by, now=now)
    tell_of_revision(revision=revision, on=decision.on, now=now)
    return revision
