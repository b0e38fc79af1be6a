"""A table written as CSV (RFC 4180) or XLSX into a file. Pure."""

import csv
import io
from collections.abc import Iterable, Sequence
from enum import StrEnum
from typing import IO, Any, Final

import openpyxl
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from competencies.exporting.cells import in_xml, marked, value_of

Row = Sequence[object]
WIDTH: Final = 22
#: What Excel holds in one sheet; a longer table is cut by no writer here, it is refused.
MOST_ROWS: Final = 1_048_576
LONGEST_NAME: Final = 31


class FileForm(StrEnum):
    """The forms of a file, by the end of its name."""

    CSV = "csv"
    XLSX = "xlsx"

    @property
    def content_type(self) -> str:
        """Return the media type, as registered."""
        if self is FileForm.CSV:
            return "text/csv; charset=utf-8"
        return "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def write_table(file: IO[bytes], form: FileForm, *, name: str, heads: Sequence[str], rows: Iterable[Row]) -> None:
    """Write a table, one row after the other, so that a long one is never held whole.

    Raises ValueError where XLSX has too few rows for it.
    """
    if form is FileForm.CSV:
        _write_csv(file, heads, rows)
    else:
        _write_xlsx(file, name, heads, rows)


def _write_csv(file: IO[bytes], heads: Sequence[str], rows: Iterable[Row]) -> None:
    # The byte order mark tells a spreadsheet that it is UTF-8. Every text stands in quotes, so that a separator of
    # another country cannot begin a cell in its middle.
    text = io.TextIOWrapper(file, encoding="utf-8-sig", newline="", write_through=True)
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC)
    writer.writerow([marked(str(head)) for head in heads])
    for row in rows:
        values = [value_of(cell) for cell in row]
        writer.writerow([marked(value) if isinstance(value, str) else value for value in values])
    text.detach()


def _write_xlsx(file: IO[bytes], name: str, heads: Sequence[str], rows: Iterable[Row]) -> None:
    book = openpyxl.Workbook(write_only=True)
    sheet: Any = book.create_sheet(name[:LONGEST_NAME])  # a sheet of this kind has its own class, which has no types
    sheet.freeze_panes = "A2"
    for number in range(1, len(heads) + 1):
        sheet.column_dimensions[get_column_letter(number)].width = WIDTH
    sheet.append([_sheet_cell(sheet, str(head), is_head=True) for head in heads])
    for number, row in enumerate(rows, start=2):
        if number > MOST_ROWS:
            message = f"An XLSX sheet holds {MOST_ROWS} rows."
            raise ValueError(message)
        sheet.append([_sheet_cell(sheet, value_of(cell)) for cell in row])
    book.save(file)


def _sheet_cell(sheet: Any, value: str | float, *, is_head: bool = False) -> Any:  # noqa: ANN401 - untyped there
    """Return a cell; a text is told to be text, whatever it looks like, so it needs no mark."""
    if not isinstance(value, str):
        return WriteOnlyCell(sheet, value)
    cell = WriteOnlyCell(sheet, in_xml(value))
    cell.data_type = "s"
    if is_head:
        cell.font = Font(bold=True)
    return cell
