"""Asking for a job, and who may see and fetch it."""

from datetime import datetime

from competencies.jobs.registry import kinds
from competencies.jobs.work import Kind, Parameters
from competencies.models import Job, Person
from competencies.operations.jobs import JobAsked, ask_for_job
from competencies.permissions import Actor, may_see_all_jobs
from competencies.vocabulary import JobState


def enqueue(kind: str, parameters: Parameters, *, title: str, by: Person, site: str, now: datetime) -> Job:
    """Put a job of a kind in the queue.

    `parameters` are plain JSON values; name things by their numbers or codes. `title` says what the file will be and
    names nobody. `site` is the address that printed links begin with (`request.build_absolute_uri("/")`).
    """
    asked = JobAsked(kind=kinds()[kind].code, title=title, parameters=parameters, site=site)
    return ask_for_job(asked=asked, by=by, now=now)


def kind_of(job: Job) -> Kind | None:
    """Return the kind of a job; None for one that an older version of the site knew."""
    return kinds().get(job.kind)


def may_see_job(actor: Actor, job: Job) -> bool:
    """Whether a person sees how far a job is, cancels it and fetches its file: who asked, and the office."""
    kind = kind_of(job)
    if actor.person is None or kind is None or job.plant_id != actor.person.plant_id or not kind.may(actor):
        return False
    return job.asked_by_id == actor.person.pk or (may_see_all_jobs(actor) and not kind.is_private)


def may_fetch_job(actor: Actor, job: Job, *, now: datetime) -> bool:
    """Whether the file is there and this person may have it."""
    return may_see_job(actor, job) and job.state == JobState.DONE and job.expires_at > now and job.path.is_file()
