"""A plant with an office, a folder for files, and kinds of job that do what a test wants."""

from dataclasses import dataclass, field
from datetime import timedelta

import pytest
from django.utils.translation import gettext_lazy

from competencies.jobs import registry
from competencies.jobs.asking import enqueue
from competencies.jobs.work import Kind
from competencies.operations.jobs import JobFile
from competencies.permissions import may_print_records
from competencies.vocabulary import AuthorityKind
from tests import factories as make


@dataclass
class Clock:
    """A clock that a test sets."""

    now: object

    def __call__(self):
        return self.now

    def wait(self, **span):
        self.now += timedelta(**span)


@dataclass
class Works:
    """What the kind of the tests does at each of three steps."""

    at_step: dict = field(default_factory=dict)

    def run(self, work):
        work.target.write_bytes(b"begun")
        for number in range(3):
            self.at_step.get(number, lambda _work: None)(work)
            work.step(number + 1, 3)
        work.target.write_bytes(b"all three")
        return JobFile(name="three.txt", content_type="text/plain")


@pytest.fixture
def clock():
    return Clock(make.at(make.today(), "09:00"))


@pytest.fixture
def job_files(settings, tmp_path):
    settings.JOB_FILES = tmp_path / "jobs"
    return settings.JOB_FILES


@pytest.fixture
def works(monkeypatch):
    """Return the works of the kinds "three" and "own", which are the only ones beside those of the site."""
    found = Works()
    known = dict(registry.kinds())
    for code, is_private in (("three", False), ("own", True)):
        known[code] = Kind(
            code=code,
            word=gettext_lazy("Three"),
            may=may_print_records if code == "three" else lambda _actor: True,
            run=found.run,
            is_private=is_private,
        )
    monkeypatch.setattr("competencies.jobs.asking.kinds", lambda: known)
    return found


@pytest.fixture
def office(db):
    plant = make.make_plant()
    person = make.make_person(plant, "Rhona Vass")
    make.grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def ask(works, job_files, office, clock):
    """Return a function that asks for a job of a kind."""

    def asked(kind="three", by=None):
        return enqueue(kind, {}, title="Three things", by=by or office, site="https://plant.example/", now=clock())

    return asked
