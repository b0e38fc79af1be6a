"""A minor revision is decided to be a major one after all: by two people, from the day it is recorded (R4.8)."""

from datetime import datetime

from competencies.ledger.writer import Appended, writing
from competencies.models import TaskRevision
from competencies.operations.framework import frame_changed
from competencies.operations.pins import Signer
from competencies.operations.recording import append_for_plant, refuse_if
from competencies.queries.facts import grants_of
from competencies.queries.frame import frame_of
from competencies.standing.calendar import clock_of
from competencies.standing.office import NewClass, refuse_reclassification
from competencies.vocabulary import ChangeClass, EntryKind


@writing()
def reclassify_revision(*, revision: TaskRevision, by: Signer, second: Signer, now: datetime) -> Appended:
    """Make a minor revision a major one. Raises RefusedError with every reason; both people have proved who they are.

    Holders who read it but did not show the changes are asked to show them, from the plant's day of `now` on.
    """
    task = revision.task
    frame = frame_of(task.plant)
    grants = grants_of([by.person.pk, second.person.pk])
    decision = NewClass(
        task=task.code,
        revision=revision.number,
        by=by.person.pk,
        second=second.person.pk,
        on=clock_of(frame.timezone).day(now),
    )
    refuse_if(
        refuse_reclassification(
            decision, frame=frame, grants=grants[by.person.pk], second_grants=grants[second.person.pk]
        )
    )
    appended = append_for_plant(
        kind=EntryKind.RECLASSIFICATION,
        plant=task.plant,
        signer=by,
        now=now,
        fields={
            "task": task.code,
            "revision": revision.number,
            "change": ChangeClass.MAJOR,
            "of": revision.entry_seq,
            "second_approver": second.person.pk,
        },
    )
    TaskRevision.objects.filter(pk=revision.pk).update(reclassified_at=now)
    frame_changed(plant=task.plant, task=task.code, now=now)
    return appended
