"""Empty spreadsheets for people, with the headings that `people_file` reads. Pure."""

import io

import openpyxl
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from competencies.importing.people_file import COLUMNS

WIDTH = 24


def csv_template() -> bytes:
    """Return the heading as CSV that a spreadsheet program opens in the right encoding."""
    return (",".join(COLUMNS) + "\r\n").encode("utf-8-sig")


def xlsx_template() -> bytes:
    """Return the heading as the first sheet of an XLSX file."""
    book = openpyxl.Workbook()
    sheet = book.active
    if sheet is None:
        sheet = book.create_sheet()
    sheet.title = "people"
    sheet.append(COLUMNS)
    for number, cell in enumerate(sheet[1], start=1):
        cell.font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(number)].width = WIDTH
    sheet.freeze_panes = "A2"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
