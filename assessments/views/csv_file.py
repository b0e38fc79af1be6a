"""Tables as CSV files that a spreadsheet opens without running anything."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Final

#: A cell that begins with one of these is taken for a formula.
STARTS_A_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """Return the table as UTF-8 with a byte order mark, which spreadsheets need to know it by.

    A text that a spreadsheet would run is put behind an apostrophe; numbers stay numbers.
    """
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow([_safe(head) for head in heads])
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return file.getvalue().encode("utf-8-sig")


def _safe(cell: object) -> object:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(STARTS_A_FORMULA) else cell
