"""What a cell of a file holds: never a formula (CWE-1236), and the text that was meant can be read back. Pure."""

import math
import re
from datetime import date, datetime
from typing import Final, TypeAlias

Value: TypeAlias = str | int | float

#: What a spreadsheet takes for the beginning of a formula, also in its wide forms, whatever blanks stand before it.
STARTS: Final = "=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20"
_AT_RISK: Final = re.compile(rf"'*[\s\ufeff\u200b]*[{STARTS}]")
_MARKED: Final = re.compile(rf"'+[\s\ufeff\u200b]*[{STARTS}]")
#: XML 1.0 has no place for these, so no XLSX file can hold them (section 2.2, Char).
_NOT_IN_XML: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def marked(text: str) -> str:
    """Return the text behind an apostrophe where a spreadsheet would run it.

    A text that looks marked already gets one more, so that `unmarked` always gives back what was meant.

    >>> marked("=1+1"), marked("'=1+1"), marked("'t Hart")
    ("'=1+1", "''=1+1", "'t Hart")
    """
    return f"'{text}" if _AT_RISK.match(text) else text


def unmarked(text: str) -> str:
    """Return the text that `marked` was given.

    >>> unmarked("'=1+1"), unmarked("'t Hart")
    ('=1+1', "'t Hart")
    """
    return text[1:] if _MARKED.match(text) else text


def value_of(cell: object) -> Value:
    """Return what a file holds of a cell: a number as it is, a day as 2026-01-31, a moment with its offset.

    Nothing, and a number that is none, leave the cell empty; anything else is told by its text.
    """
    if cell is None or (isinstance(cell, float) and not math.isfinite(cell)):
        return ""
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ", timespec="minutes")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return cell
    return str(cell)


def in_xml(text: str) -> str:
    """Return the text without the characters that XML cannot hold."""
    return _NOT_IN_XML.sub("\ufffd", text)
