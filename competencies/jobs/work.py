"""A kind of job, and the work on one job as its kind sees it."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.functional import Promise

from competencies.models import Job, Person, Plant
from competencies.operations.jobs import JobFile, name_people, tell_progress
from competencies.permissions import Actor

Parameters = Mapping[str, Any]


class JobFaultError(Exception):
    """A job that cannot be done, said in words for whoever asked for it."""


@dataclass(frozen=True, slots=True)
class Work:
    """What a kind works with: the job, a folder that is gone afterwards, and the clock.

    A kind calls `step` after each piece, at least once a minute: it is the progress bar, the sign of life, and where
    a cancelled job ends.
    """

    job: Job
    folder: Path
    clock: Callable[[], datetime]

    @property
    def parameters(self) -> Parameters:
        """Return what was asked."""
        asked: Parameters = self.job.parameters
        return asked

    @property
    def plant(self) -> Plant:
        """Return the plant the job belongs to; a kind reads nothing of another."""
        return self.job.plant

    @property
    def by(self) -> Person:
        """Return who asked."""
        return self.job.asked_by

    @property
    def target(self) -> Path:
        """Return the file to write."""
        return self.job.path

    def step(self, done: int, total: int) -> None:
        """Say how far the work is. Raises JobGoneError where it is to stop."""
        tell_progress(job=self.job, done=done, total=total, now=self.clock())

    def tells_of(self, people: Iterable[Person]) -> None:
        """Say of whom the file will tell: it goes when one of them is erased. Raises JobGoneError."""
        name_people(job=self.job, people=people)

    def address(self, name: str, *args: object) -> str:
        """Return the full address of a page, as it is printed."""
        return f"{self.job.site.rstrip('/')}{reverse(name, args=args)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of job: its code, its word, who may ask for it and fetch it, and what does it.

    Of a private kind only who asked may fetch the file, not the office.
    """

    code: str
    word: Promise
    may: Callable[[Actor], bool]
    run: Callable[[Work], JobFile]
    is_private: bool = False


def real_clock() -> datetime:
    """Return the moment of the server."""
    return timezone.now()  # noqa: TID251 - a job runs for minutes, and its signs of life are real moments


@contextmanager
def working_on(job: Job, clock: Callable[[], datetime]) -> Iterator[Work]:
    """Open the work on a job with a folder that is gone afterwards."""
    job.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with TemporaryDirectory(prefix="job-") as folder:
        yield Work(job, Path(folder), clock)
