"""The state of a piece of background work, in words."""

from typing import Final

from django import template
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from competencies.models import Job
from competencies.vocabulary import JobState

register = template.Library()

WORDS: Final[dict[JobState, Promise]] = {
    JobState.WAITING: _("Waiting its turn"),
    JobState.RUNNING: _("Being made"),
    JobState.DONE: _("Ready"),
    JobState.FAILED: _("Not made"),
    JobState.CANCELLED: _("Cancelled"),
}
STOPPING: Final = _("Being cancelled")


@register.filter
def job_state(job: Job) -> Promise:
    """Return how a job stands."""
    state = JobState(job.state)
    return STOPPING if state is JobState.RUNNING and job.cancelled_at else WORDS[state]


@register.filter
def is_open(job: Job) -> bool:
    """Whether more may still come of a job."""
    return JobState(job.state).is_open
