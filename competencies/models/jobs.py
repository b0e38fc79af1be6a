"""Work that takes longer than anybody waits for: what is asked, how far it is, and what came of it."""

import secrets
from datetime import datetime
from pathlib import Path
from typing import Self

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.people import Person
from competencies.models.place import Plant
from competencies.vocabulary import JobState


def new_job_code() -> str:
    """Return a code that cannot be guessed; it is also the name of the file on the disk."""
    return secrets.token_hex(12)


class JobQuerySet(models.QuerySet["Job"]):
    """Questions about jobs."""

    def in_state(self, *states: JobState) -> Self:
        """Keep those that stand at one of `states`."""
        return self.filter(state__in=states)

    def silent_since(self, moment: datetime) -> Self:
        """Keep those that are said to run and of which nothing has been heard since `moment`."""
        return self.in_state(JobState.RUNNING).filter(heartbeat_at__lt=moment)

    def over_at(self, now: datetime) -> Self:
        """Keep those whose time is over."""
        return self.filter(expires_at__lte=now)


class Job(models.Model):
    """One piece of work, and its file when it is done.

    `heartbeat_at` is the last sign of life of the process that does it, `attempt` how often it was begun. `people`
    are those whom the file tells of: it goes when one of them is erased.
    """

    STATES = [(state.value, state.value) for state in JobState]

    code = models.CharField(max_length=24, primary_key=True, default=new_job_code)
    plant = models.ForeignKey(Plant, models.PROTECT, related_name="jobs")
    kind = models.CharField(_("kind"), max_length=40)
    title = models.CharField(_("what"), max_length=200)
    parameters = models.JSONField(_("asked"), default=dict)
    site = models.URLField(_("address of the site"), max_length=200)
    asked_by = models.ForeignKey(Person, models.CASCADE, related_name="jobs_asked")
    asked_at = models.DateTimeField(_("asked at"))
    state = models.CharField(_("state"), max_length=10, choices=STATES, default=JobState.WAITING.value)
    done = models.PositiveIntegerField(_("done"), default=0)
    total = models.PositiveIntegerField(_("of"), default=0)
    attempt = models.PositiveSmallIntegerField(_("attempt"), default=0)
    started_at = models.DateTimeField(_("started at"), null=True, blank=True)
    heartbeat_at = models.DateTimeField(_("last sign of life"), null=True, blank=True)
    cancelled_at = models.DateTimeField(_("cancelled at"), null=True, blank=True)
    ended_at = models.DateTimeField(_("ended at"), null=True, blank=True)
    expires_at = models.DateTimeField(_("kept until"))
    fault = models.CharField(_("what went wrong"), max_length=300, blank=True)
    file_name = models.CharField(_("file"), max_length=100, blank=True)
    file_type = models.CharField(_("type of file"), max_length=100, blank=True)
    file_size = models.PositiveBigIntegerField(_("size (bytes)"), default=0)
    people = models.ManyToManyField(Person, related_name="jobs_about", blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        """Indexes."""

        indexes = [
            models.Index(fields=["state", "asked_at"], name="job_by_state"),
            models.Index(fields=["plant", "asked_at"], name="job_by_plant"),
        ]

    def __str__(self) -> str:
        """Return the title."""
        return self.title

    @property
    def path(self) -> Path:
        """Return where the file lies: on the disk, outside the database and its backups."""
        return Path(settings.JOB_FILES) / self.code
