"""The kinds of job are found by being there, and the records of many come out as one file."""

from io import BytesIO

import pikepdf
import pytest
from django.core.management import call_command

from competencies.jobs.asking import enqueue
from competencies.jobs.registry import kinds
from competencies.models import Job, PrintedSheet
from tests.competencies.printing.people import make_recorded
from tests.factories import make_person, today

ASKED = {"crew": None, "pathway": None, "as_of": None, "known_at": None}


def test_each_kind_is_called_by_its_module():
    assert {code: kind.run.__module__.rpartition(".")[2] for code, kind in kinds().items()} == {
        code: code for code in kinds()
    }


@pytest.mark.django_db
def test_records_of_many_are_one_file_with_a_code_each(job_files, clock, capsys):
    made = make_recorded()
    for number in range(8):
        make_person(made.plant, f"Person {number}", crew=None)
    job = enqueue(
        "records",
        {**ASKED, "as_of": today().isoformat()},
        title="Progress records",
        by=made.coordinator,
        site="https://plant.example/",
        now=clock(),
    )

    call_command("make_files", once=True)

    job.refresh_from_db()
    assert (job.state, job.fault, job.done) == ("done", "", job.total)
    assert "1 jobs done" in capsys.readouterr().out
    assert job.people.count() == PrintedSheet.objects.count() == job.total > 10
    with pikepdf.open(BytesIO(job.path.read_bytes())) as pdf:
        assert len(pdf.pages) >= job.total
        assert bool(pdf.Root.MarkInfo.Marked)
    assert set(PrintedSheet.objects.values_list("printed_by", flat=True)) == {made.coordinator.pk}


@pytest.mark.django_db
def test_a_choice_with_nobody_in_it_says_so(job_files, clock):
    made = make_recorded()
    enqueue(
        "records",
        {**ASKED, "as_of": "1990-01-01"},
        title="Progress records",
        by=made.coordinator,
        site="https://plant.example/",
        now=clock(),
    )

    call_command("make_files", once=True)

    job = Job.objects.get()
    assert (job.state, job.fault) == ("failed", "Nobody is in this choice on that day.")
