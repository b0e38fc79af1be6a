"""A list as a file: the same address with `file=csv` or `file=xlsx`, the same filters and clocks, and all its rows."""

import logging
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from tempfile import SpooledTemporaryFile
from typing import IO, Any, Final

from django.http import FileResponse
from django.utils import timezone

from competencies.exporting.files import FileForm, write_table
from competencies.middleware import ActorRequest

logger = logging.getLogger(__name__)
#: A larger file waits on the disk.
HELD_BYTES: Final = 4_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class ListTable:
    """What a file holds. `name` is the file's, without people's names; a cell may be one of components/table.html."""

    name: str
    heads: Sequence[Any]
    rows: Iterable[Sequence[Any]]


def file_asked(request: ActorRequest) -> FileForm | None:
    """Return the form of file that the address asks for; None where it asks for the page."""
    asked = request.GET.get("file", "")
    return FileForm(asked) if asked in set(FileForm) else None


def table_file(request: ActorRequest, form: FileForm, table: ListTable) -> FileResponse:
    """Return a table as a file to keep.

    It is written out before it is sent: a fault in the last row must not end in a short file that looks whole.
    """
    file: IO[bytes] = SpooledTemporaryFile(HELD_BYTES)  # noqa: SIM115 - the answer closes it
    heads = [_told(head) for head in table.heads]
    write_table(file, form, name=table.name, heads=heads, rows=([_plain(cell) for cell in row] for row in table.rows))
    file.seek(0)
    person = request.actor.person
    logger.info("%s taken as %s by person %s", table.name, form.value, person.pk if person else None)
    answer = FileResponse(
        file, as_attachment=True, filename=f"{table.name}.{form.value}", content_type=form.content_type
    )
    answer["Cache-Control"] = "no-store"
    return answer


def _plain(cell: object) -> object:
    if isinstance(cell, datetime):
        return timezone.localtime(cell)
    return _told(cell) if isinstance(cell, dict) else cell


def _told(cell: Any) -> str:  # noqa: ANN401 - a text, a lazy text or a mapping
    """Return in words what a cell of a table shows."""
    if not isinstance(cell, dict):
        return str(cell)
    if isinstance(cell.get("number"), str):
        return " ".join(str(cell[name]) for name in ("number", "unit") if cell.get(name))
    shown = (cell.get(name) for name in ("code", "text", "standing", "note"))
    return " ".join(str(each) for each in shown if each)
