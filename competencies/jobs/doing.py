"""Doing what is asked: one job at a time, whatever becomes of it."""

import logging
from collections.abc import Callable
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import override

from competencies.jobs.asking import kind_of
from competencies.jobs.work import JobFaultError, working_on
from competencies.models import Job
from competencies.operations.jobs import (
    JobGoneError,
    clear_jobs,
    end_cancelled_job,
    fail_job,
    finish_job,
    give_back_job,
    revive_jobs,
    take_job,
)
from competencies.printing.pdf import PdfUnavailableError

Clock = Callable[[], datetime]
logger = logging.getLogger(__name__)


def do_waiting(clock: Clock) -> int:
    """Do every job that waits, one after another. Returns how many were taken."""
    count = 0
    while (job := take_job(now=clock())) is not None:
        with override(job.plant.language):
            do_job(job, clock)
        count += 1
    return count


def do_job(job: Job, clock: Clock) -> None:
    """Do one job that was taken; what goes wrong is written on it, in words."""
    try:
        _made(job, clock)
    except JobGoneError:
        job.path.unlink(missing_ok=True)
        end_cancelled_job(job=job, now=clock())
    except JobFaultError as error:
        _failed(job, str(error), clock)
    except PdfUnavailableError as error:
        packages = " ".join(error.packages)
        _failed(job, _("Nothing can be printed on this server before it has: %s") % packages, clock)
    except Exception:
        logger.exception("job %s (%s) failed", job.code, job.kind)
        said = _("Something went wrong that was not foreseen. The server's log tells it under the job's number, %s.")
        _failed(job, said % job.code, clock)
    except BaseException:
        # The process is told to end: the next one begins this job again.
        job.path.unlink(missing_ok=True)
        give_back_job(job=job)
        raise


def _made(job: Job, clock: Clock) -> None:
    kind = kind_of(job)
    if kind is None:
        raise JobFaultError(_("This version of the site does not know this kind of file."))
    with working_on(job, clock) as work:
        made = kind.run(work)
    finish_job(job=job, made=made, now=clock())


def _failed(job: Job, fault: str, clock: Clock) -> None:
    job.path.unlink(missing_ok=True)
    fail_job(job=job, fault=fault, now=clock())


def look_after_jobs(clock: Clock) -> None:
    """Begin again what a dead process left, and remove what is over."""
    revive_jobs(now=clock())
    clear_jobs(now=clock())
