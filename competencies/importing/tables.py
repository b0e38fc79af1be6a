"""Cells out of a spreadsheet: CSV in the usual encodings and separators, or the first sheet of an XLSX file. Pure.

Formulas are refused, never worked out. Sizes are limited before anything is unpacked.
"""

import csv
import io
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import openpyxl

from competencies.exporting.cells import unmarked
from competencies.importing.faults import mark as _

MAX_BYTES = 2_000_000
MAX_UNPACKED_BYTES = 40_000_000
MAX_ROWS = 5_000
MAX_COLUMNS = 40
MAX_CELL = 500
SEPARATORS = (",", ";", "\t")
ZIP_MAGIC = b"PK\x03\x04"


class TableError(ValueError):
    """The file cannot be read as a table. `text` and `values` as in a remark; `row` is 0 for the file as a whole."""

    def __init__(self, text: str, *, row: int = 0, **values: object) -> None:
        self.text = text
        self.row = row
        self.values = values
        super().__init__(text % values)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell as text, or as a day where the spreadsheet keeps it as one. `is_formula`: it is not taken."""

    text: str = ""
    day: date | None = None
    is_formula: bool = False


Row = tuple[int, tuple[Cell, ...]]


def read_table(content: bytes) -> list[Row]:
    """Return the filled rows of a CSV or XLSX file with their numbers, the heading first. Raises TableError."""
    if len(content) > MAX_BYTES:
        raise TableError(_("the file is larger than %(limit)s kB"), limit=MAX_BYTES // 1000)
    rows = _sheet_rows(content) if content.startswith(ZIP_MAGIC) else _text_rows(decode_text(content))
    filled: list[Row] = []
    for number, cells in enumerate(rows, start=1):
        if number > MAX_ROWS:
            raise TableError(_("there are more than %(limit)s rows"), limit=MAX_ROWS, row=number)
        if len(cells) > MAX_COLUMNS:
            raise TableError(_("there are more than %(limit)s columns"), limit=MAX_COLUMNS, row=number)
        if any(cell.text or cell.day or cell.is_formula for cell in cells):
            filled.append((number, cells))
    if not filled:
        raise TableError(_("the file is empty"))
    return filled


def decode_text(content: bytes) -> str:
    """Return the text of bytes in UTF-8, UTF-16 with its mark, or the usual encoding of Western Windows."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        candidates: tuple[str, ...] = ("utf-16",)
    else:
        candidates = ("utf-8-sig", "cp1252")
    for encoding in candidates:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" not in text:
            return text
    raise TableError(_("this is neither text nor an XLSX file; save it as CSV UTF-8 or as XLSX"))


def _text_rows(text: str) -> Iterator[tuple[Cell, ...]]:
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    while True:
        number += 1
        try:
            row = next(reader, None)
        except csv.Error as error:
            raise TableError(_("the quotes are not closed or a cell is too long"), row=number) from error
        if row is None:
            return
        yield tuple(_text_cell(value) for value in row)


def _text_cell(value: str) -> Cell:
    # What was marked as text on its way out is text, whatever it begins with.
    text = " ".join(unmarked(value).split())
    return Cell(text, is_formula=text == " ".join(value.split()) and text.startswith("="))


def _sheet_rows(content: bytes) -> Iterator[tuple[Cell, ...]]:
    _refuse_swollen(content)
    try:
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
        sheet = book.worksheets[0]
        # What the sheet says of its own size may be wrong, and then rows would be missed.
        sheet.reset_dimensions()
        rows = [tuple(_sheet_cell(cell) for cell in _trimmed(row)) for row in sheet.iter_rows(max_row=MAX_ROWS + 1)]
    except Exception as error:
        # A broken or hand-made file can upset the library in any way, and none may reach the reader as a traceback.
        raise TableError(_("this XLSX file cannot be read; save it again, or save it as CSV UTF-8")) from error
    return iter(rows)


def _refuse_swollen(content: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            unpacked = sum(item.file_size for item in archive.infolist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as error:
        raise TableError(_("this XLSX file cannot be read; save it again, or save it as CSV UTF-8")) from error
    if unpacked > MAX_UNPACKED_BYTES:
        raise TableError(_("the file is too large once unpacked"))


def _trimmed(row: Sequence[Any]) -> Sequence[Any]:
    """Return the cells up to the last filled one, and one beyond the limit at most."""
    end = len(row)
    while end and row[end - 1].value is None:
        end -= 1
    return row[: min(end, MAX_COLUMNS + 1)]


def _sheet_cell(cell: Any) -> Cell:  # noqa: ANN401 - the library has a class a kind of cell
    value = cell.value
    if value is None:
        return Cell()
    if cell.data_type == "f":
        return Cell(str(value)[:MAX_CELL], is_formula=True)
    if isinstance(value, datetime):
        return Cell(value.date().isoformat(), day=value.date())
    if isinstance(value, date):
        return Cell(value.isoformat(), day=value)
    if isinstance(value, float) and value.is_integer():
        return Cell(str(int(value)))
    return Cell(" ".join(str(value).split()))
