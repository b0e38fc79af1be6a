"""Background work: asking for it, taking it, telling how far it is, ending it, and clearing away what is over.

Several processes may take jobs at once. Each change names the state and the attempt it starts from, so that a process
that was thought dead and comes back finds its job gone instead of writing over somebody else's.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from competencies.models import Job, Person
from competencies.vocabulary import JobState

KEPT_FOR: Final = timedelta(days=7)
# The longest single step, a few hundred sheets set as one document, takes about a minute on a busy machine.
SILENT_FOR: Final = timedelta(minutes=5)
MOST_ATTEMPTS: Final = 2


class JobGoneError(Exception):
    """The job was cancelled, taken over by another process, or erased: whoever works at it stops."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAsked:
    """What is asked for: a kind, its parameters (plain JSON, naming nobody), a title, and the site's address."""

    kind: str
    title: str
    site: str
    parameters: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFile:
    """What came of a job: the name by which it is handed out, and its type."""

    name: str
    content_type: str


@transaction.atomic
def ask_for_job(*, asked: JobAsked, by: Person, now: datetime) -> Job:
    """Put a job in the queue."""
    return Job.objects.create(
        plant=by.plant,
        kind=asked.kind,
        title=asked.title[:200],
        parameters=dict(asked.parameters),
        site=asked.site,
        asked_by=by,
        asked_at=now,
        expires_at=now + KEPT_FOR,
    )


@transaction.atomic
def take_job(*, now: datetime) -> Job | None:
    """Take the job that has waited longest; None when nothing waits. Two processes never take the same."""
    waiting = Job.objects.in_state(JobState.WAITING).order_by("asked_at", "code")
    for code, attempt in waiting.values_list("code", "attempt")[:10]:
        taken = Job.objects.in_state(JobState.WAITING).filter(code=code, attempt=attempt)
        if taken.update(
            state=JobState.RUNNING.value, attempt=attempt + 1, started_at=now, heartbeat_at=now, done=0, total=0
        ):
            return Job.objects.select_related("plant", "asked_by__plant").get(code=code)
    return None


@transaction.atomic
def tell_progress(*, job: Job, done: int, total: int, now: datetime) -> None:
    """Say how far a job is, which is its sign of life as well. Raises JobGoneError when it is to stop."""
    mine = Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk, attempt=job.attempt, cancelled_at=None)
    if not mine.update(done=done, total=total, heartbeat_at=now):
        raise JobGoneError(job.code)


@transaction.atomic
def name_people(*, job: Job, people: Iterable[Person]) -> None:
    """Say of whom the file will tell, before anything about them is written. Raises JobGoneError."""
    if not Job.objects.filter(pk=job.pk).exists():
        raise JobGoneError(job.code)
    job.people.add(*people)


@transaction.atomic
def finish_job(*, job: Job, made: JobFile, now: datetime) -> None:
    """Keep the file of a job that is done. Raises JobGoneError, and then the file is not kept."""
    ended = Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk, attempt=job.attempt, cancelled_at=None)
    if not ended.update(
        state=JobState.DONE.value,
        done=F("total"),
        file_name=made.name,
        file_type=made.content_type,
        file_size=job.path.stat().st_size,
        ended_at=now,
        expires_at=now + KEPT_FOR,
    ):
        raise JobGoneError(job.code)


@transaction.atomic
def fail_job(*, job: Job, fault: str, now: datetime) -> None:
    """Say that nothing came of a job, and why."""
    Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk, attempt=job.attempt).update(
        state=JobState.FAILED.value, fault=fault[:300], ended_at=now
    )


@transaction.atomic
def give_back_job(*, job: Job) -> None:
    """Put a job back in the queue because the process ends; this attempt does not count."""
    Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk, attempt=job.attempt).update(
        state=JobState.WAITING.value, attempt=job.attempt - 1, heartbeat_at=None
    )


@transaction.atomic
def end_cancelled_job(*, job: Job, now: datetime) -> None:
    """Say that the process that worked at a cancelled job has stopped."""
    Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk).exclude(cancelled_at=None).update(
        state=JobState.CANCELLED.value, ended_at=now
    )


@transaction.atomic
def cancel_job(*, job: Job, now: datetime) -> None:
    """Cancel a job: one that waits at once, one that runs at its next step. One that has ended stays as it is."""
    waiting = Job.objects.in_state(JobState.WAITING).filter(pk=job.pk)
    if not waiting.update(state=JobState.CANCELLED.value, cancelled_at=now, ended_at=now):
        Job.objects.in_state(JobState.RUNNING).filter(pk=job.pk, cancelled_at=None).update(cancelled_at=now)


@transaction.atomic
def revive_jobs(*, now: datetime) -> int:
    """Deal with jobs whose process has died: begin again once, then fail. Returns how many there were."""
    silent = Job.objects.silent_since(now - SILENT_FOR)
    cancelled = silent.exclude(cancelled_at=None).update(state=JobState.CANCELLED.value, ended_at=now)
    failed = silent.filter(attempt__gte=MOST_ATTEMPTS).update(
        state=JobState.FAILED.value, fault=_("It stopped in the middle twice, and was not begun again."), ended_at=now
    )
    return cancelled + failed + silent.update(state=JobState.WAITING.value)


@transaction.atomic
def clear_jobs(*, now: datetime) -> int:
    """Remove the jobs whose time is over, with their files, and files that belong to no job. Returns how many."""
    count = _remove(list(Job.objects.over_at(now).exclude(state=JobState.RUNNING.value)))
    folder = Path(settings.JOB_FILES)
    if folder.is_dir():
        found = {path.name: path for path in folder.iterdir() if path.is_file()}
        known = set(Job.objects.filter(code__in=found).values_list("code", flat=True))
        for name in found.keys() - known:
            found[name].unlink(missing_ok=True)
    return count


@transaction.atomic
def remove_jobs_about(*, person: Person) -> None:
    """Remove every job whose file tells of a person or that the person asked for, with the files."""
    _remove(list((Job.objects.filter(people=person) | Job.objects.filter(asked_by=person)).distinct()))


def _remove(jobs: list[Job]) -> int:
    """Delete rows and, once that holds, their files: a file without a row is swept up later, a row never lies."""
    paths = [job.path for job in jobs]
    Job.objects.filter(pk__in=[job.pk for job in jobs]).delete()

    def unlink() -> None:
        for path in paths:
            path.unlink(missing_ok=True)

    transaction.on_commit(unlink)
    return len(jobs)
