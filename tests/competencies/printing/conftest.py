"""One record, printed once for all tests that only look at it; nothing of it stays in the database."""

from contextlib import contextmanager
from dataclasses import dataclass, replace
from io import BytesIO

import pikepdf
import pypdfium2
import pytest
from django.db import transaction
from django.utils import timezone

from competencies.operations.paper import register_sheet
from competencies.printing.pdf import render_pdf
from competencies.printing.records import Proof, record_html, shift_titles
from competencies.queries.records import ProgressRecord, progress_records
from tests.competencies.printing.people import at, days_ago, make_recorded
from tests.factories import today

ADDRESS = "https://training.alder-quay.example/check/{code}/"
LONG_NAME = ("Anna-Maria Theodora " * 6)[:119] + "x"


@dataclass(frozen=True)
class Printed:
    """A record with its page and its file."""

    record: ProgressRecord
    proof: Proof
    html: str
    pdf: bytes

    @property
    def texts(self):
        """Return the text of each sheet, its lines joined; PDFium writes a hyphen at a line's end as U+0002."""
        document = pypdfium2.PdfDocument(self.pdf)
        texts = [page.get_textpage().get_text_bounded().replace("\x02", "-") for page in document]
        return [" ".join(text.split()) for text in texts]

    @property
    def text(self):
        return " ".join(self.texts)

    def open(self):
        return pikepdf.open(BytesIO(self.pdf))


def print_record(made, *, on=None, known=None, change=None):
    """Print the record of the person, changed by `change` if it is given."""
    [record] = progress_records([made.person], on=on or today(), known=known)
    record = change(record) if change else record
    now = timezone.now()
    registered = register_sheet(record=record, printed_by=made.coordinator, now=now)
    proof = Proof(
        code=registered.sheet.code,
        address=ADDRESS.format(code=registered.sheet.code),
        printed_at=now,
        printed_by=made.coordinator.name,
        known_at=known or now,
        size=record.size,
        head=registered.sheet.ledger_head,
        whole_size=registered.anchor.size,
        root=bytes(registered.anchor.root).hex(),
    )
    html = record_html(record, proof, shifts=shift_titles(made.plant))
    return Printed(record, proof, html, render_pdf(html))


@contextmanager
def undone():
    """Open a transaction whose work is thrown away."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def printed(django_db_setup, django_db_blocker):
    """Return a record with a line of every sort, of today."""
    with django_db_blocker.unblock(), undone():
        return print_record(make_recorded())


@pytest.fixture(scope="module")
def printed_as_known_then(django_db_setup, django_db_blocker):
    """Return the record of a day before the correction, as it was known the day after."""
    with django_db_blocker.unblock(), undone():
        return print_record(make_recorded(), on=days_ago(15), known=at(days_ago(14)))


@pytest.fixture(scope="module")
def crowded(django_db_setup, django_db_blocker):
    """Return a record with 60 tasks, 150 runs and a name that fills its field."""
    with django_db_blocker.unblock(), undone():
        return print_record(make_recorded(), change=crowd)


def crowd(record):
    """Return the record with its lines told again and again under other codes."""
    record.person.name = LONG_NAME
    tasks = [
        replace(line, code=f"{line.code}-{number}", title=f"{line.title}, and then {line.title.lower()} again")
        for number in range(9)
        for line in record.tasks
    ]
    runs = list(record.runs) * (150 // len(record.runs) + 1)
    runs = [replace(line, seq=line.seq + 1000 * place) for place, line in enumerate(runs)]
    return replace(record, tasks=tuple(tasks[:60]), runs=tuple(runs[:150]))
