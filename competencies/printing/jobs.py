"""One print job: the records of one person or of many, in one file."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from django.utils.translation import gettext as _

from competencies.operations.paper import Registered
from competencies.printing.joining import join_pdfs
from competencies.printing.records import proof_of, record_pdf, shift_titles
from competencies.queries.records import ProgressRecord

# Drawn while somebody waits, a second or two each; more than these are drawn in the background.
MOST_AT_ONCE: Final = 12


def records_pdf(
    records: Sequence[ProgressRecord],
    registered: Sequence[Registered],
    addresses: Sequence[str],
    *,
    now: datetime,
) -> bytes:
    """Return the sheets of the records in one file; `addresses` are their check pages. Raises PdfUnavailableError."""
    shifts = shift_titles(records[0].person.plant)
    pdfs = []
    for record, each, address in zip(records, registered, addresses, strict=True):
        pdfs.append(record_pdf(record, proof_of(each, address, known=record.known, now=now), shifts=shifts))
    if len(pdfs) == 1:
        return pdfs[0]
    return join_pdfs(pdfs, title=records_title(len(pdfs)))


def records_title(count: int) -> str:
    """Return what a file of many records is called."""
    return _("Progress records, %(count)s people") % {"count": count}
