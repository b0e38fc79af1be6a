"""The progress records of many people in one file, drawn one by one."""

from datetime import date, datetime
from pathlib import Path
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.jobs.work import JobFaultError, Kind, Work
from competencies.models import Crew, Person, Qualification
from competencies.operations.jobs import JobFile
from competencies.operations.paper import register_sheets
from competencies.permissions import may_print_records
from competencies.printing.jobs import records_title
from competencies.printing.joining import join_files
from competencies.printing.records import proof_of, record_pdf, shift_titles
from competencies.queries.record_index import people_with_records
from competencies.queries.records import progress_records

# So many records are read at a time: few enough to hold, and one root over the ledger for all of them.
READ_AT_ONCE: Final = 10


def make_records(work: Work) -> JobFile:
    """Write the records of whoever is in the choice on the day asked for."""
    people = _people(work)
    if not people:
        raise JobFaultError(_("Nobody is in this choice on that day."))
    work.tells_of(people)
    work.step(0, len(people))
    paths: list[Path] = []
    for start in range(0, len(people), READ_AT_ONCE):
        _draw(work, people[start : start + READ_AT_ONCE], paths, len(people))
    join_files(paths, work.target, title=records_title(len(people)))
    return JobFile(name="progress-records.pdf", content_type="application/pdf")


def _people(work: Work) -> list[Person]:
    asked = work.parameters
    crew = Crew.objects.filter(plant=work.plant, pk=asked["crew"]).first() if asked["crew"] else None
    pathway = Qualification.objects.filter(plant=work.plant, pk=asked["pathway"]).first() if asked["pathway"] else None
    return list(people_with_records(work.plant, on=_as_of(work), crew=crew, pathway=pathway))


def _as_of(work: Work) -> date:
    return date.fromisoformat(work.parameters["as_of"])


def _draw(work: Work, people: list[Person], paths: list[Path], total: int) -> None:
    """Register the records of some people and draw each into a file of its own."""
    known = work.parameters["known_at"]
    known_at = datetime.fromisoformat(known) if known else None
    now = work.clock()
    found = progress_records(people, on=_as_of(work), known=known_at)
    registered = register_sheets(records=found, printed_by=work.by, now=now)
    shifts = shift_titles(work.plant)
    for record, each in zip(found, registered, strict=True):
        address = work.address("competencies:sheet-check", each.sheet.code)
        path = work.folder / f"{len(paths):06d}"
        path.write_bytes(record_pdf(record, proof_of(each, address, known=known_at, now=now), shifts=shifts))
        paths.append(path)
        work.step(len(paths), total)


KIND: Final = Kind(code="records", word=gettext_lazy("Progress records"), may=may_print_records, run=make_records)
