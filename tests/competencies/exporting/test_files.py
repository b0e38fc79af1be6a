"""Tables as files: nothing in them runs, and what was meant can be read back to the letter."""

import csv
import io
import random
from datetime import UTC, date, datetime

import openpyxl
import pytest

from competencies.exporting.cells import marked, unmarked
from competencies.exporting.files import FileForm, write_table
from competencies.importing.tables import read_table

# CWE-1236 (https://cwe.mitre.org/data/definitions/1236.html) names = + - @; the OWASP page on CSV injection adds tab,
# carriage return, line feed and the full-width forms.
BEGINNINGS = ["=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20"]
SIGNS = [*BEGINNINGS, "'", '"', ",", ";", " ", "\ufeff", "a", "é", "漢", "0", "|", "\U0001f37a", "\r\n", "\u200b"]


def written(form, rows, heads=("A",)):
    file = io.BytesIO()
    write_table(file, form, name="things", heads=heads, rows=rows)
    return file.getvalue()


def read_csv(content):
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def random_texts(count, seed=20261125):
    chance = random.Random(seed)
    return ["".join(chance.choices(SIGNS, k=chance.randrange(9))) for _ in range(count)]


def test_twenty_thousand_random_rows_start_no_formula_and_come_back_exactly():
    texts = random_texts(40_000)
    rows = list(zip(texts[::2], texts[1::2], strict=True))

    _heads, *found = read_csv(written(FileForm.CSV, rows, heads=("A", "B")))

    assert len(found) == 20_000
    assert [cell for row in found for cell in row if cell.strip(" \ufeff\u200b").startswith(tuple(BEGINNINGS))] == []
    assert [tuple(unmarked(cell) for cell in row) for row in found] == rows


@pytest.mark.parametrize("beginning", BEGINNINGS)
def test_a_formula_is_marked_as_text(beginning):
    text = f"{beginning}cmd|' /C calc'!A0"

    assert marked(text) == f"'{text}"
    assert read_csv(written(FileForm.CSV, [[text]]))[1] == [f"'{text}"]


@pytest.mark.parametrize("text", ["", "'", "'t Hart", "O'Dea", "a=b", "5-1"])
def test_a_text_that_no_spreadsheet_runs_stays_as_it_is(text):
    assert marked(text) == unmarked(text) == text


def test_a_number_is_a_number_and_a_day_has_one_reading():
    row = [-0.5, 12, float("nan"), float("inf"), None, date(2026, 3, 4), datetime(2026, 3, 4, 5, 6, tzinfo=UTC)]

    [_, found] = read_csv(written(FileForm.CSV, [row], heads=["x"] * 7))

    assert found == ["-0.5", "12", "", "", "", "2026-03-04", "2026-03-04 05:06+00:00"]


def test_csv_is_as_rfc_4180_has_it():
    content = written(FileForm.CSV, [['say "hi"', "a,b", "c\r\nd"]], heads=["1", "2", "3"])

    # RFC 4180 section 2: CRLF ends a line (1), quotes hold separators and line breaks (6), a quote is doubled (7).
    assert content.startswith(b"\xef\xbb\xbf")
    assert content.removeprefix(b"\xef\xbb\xbf") == b'"1","2","3"\r\n"say ""hi""","a,b","c\r\nd"\r\n'


def test_a_text_in_xlsx_is_a_text_whatever_it_looks_like():
    texts = ["=1+1", "+1", "@SUM(A1)", "#REF!", "2026-01-01", "'=1", "plain"]

    book = openpyxl.load_workbook(io.BytesIO(written(FileForm.XLSX, [[text] for text in texts])))
    cells = [row[0] for row in book.worksheets[0].iter_rows(min_row=2)]

    assert [cell.value for cell in cells] == texts
    assert {cell.data_type for cell in cells} == {"s"}


def test_what_xml_cannot_hold_does_not_break_an_xlsx_file():
    book = openpyxl.load_workbook(io.BytesIO(written(FileForm.XLSX, [["a\x00b\x1bc\uffff"], [7]])))

    assert [row[0].value for row in book.worksheets[0].iter_rows(min_row=2)] == ["a\ufffdb\ufffdc\ufffd", 7]


@pytest.mark.parametrize("form", FileForm)
def test_a_file_that_went_out_can_come_in_again(form):
    texts = ["=HYPERLINK(1)", "-5", "'t Hart", "+44 1", "@home"]

    _heads, *rows = read_table(written(form, [[text] for text in texts]))

    if form is FileForm.CSV:
        assert [cells[0].text for _number, cells in rows] == texts
    assert [cells[0].is_formula for _number, cells in rows] == [False] * 5
