"""People out of a spreadsheet: what is read, and every fault by row and column."""

import csv
import io
import zipfile
from datetime import date, datetime

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.importing.people import KnownPlant, PeopleFile, PersonRow, RoleRow
from competencies.importing.people_file import COLUMNS, CellError, read_day, read_people, read_roles
from competencies.importing.people_template import csv_template, xlsx_template
from competencies.importing.tables import MAX_BYTES, MAX_ROWS, Cell, TableError, read_table
from competencies.vocabulary import AuthorityKind

DAY = date(2026, 11, 25)
KNOWN = KnownPlant(
    crews=frozenset({"A", "B"}),
    areas=frozenset({"BH", "CP", "PK"}),
    names={"1001": "Ilse Kramper", "1002": "Bo Lindqvist-Ade"},
)
HEAD = "employee number,name,crew,area,started on,young worker until,roles\n"
START = datetime(2026, 1, 31)  # noqa: DTZ001 - a sheet has no zone
ROLES = "trainer; assessor BH, CP; food signatory"
GOOD = HEAD + "1007,Ana Tolosa,A,BH,2026-01-31,2027-05-01,trainer; assessor BH CP; food signatory\n"


def read(text: str | bytes, **known) -> PeopleFile:
    content = text.encode() if isinstance(text, str) else text
    return read_people(content, on=DAY, known=KnownPlant(**known) if known else KNOWN)


def xlsx(*rows) -> bytes:
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def remarks(found) -> list[str]:
    return [str(remark) for remark in found]


ANA = PersonRow(
    row=2,
    works_number="1007",
    name="Ana Tolosa",
    crew="A",
    area="BH",
    started_on=date(2026, 1, 31),
    restricted_until=date(2027, 5, 1),
    roles=(
        RoleRow(AuthorityKind.ASSESS, "BH"),
        RoleRow(AuthorityKind.ASSESS, "CP"),
        RoleRow(AuthorityKind.SIGN_FOOD),
        RoleRow(AuthorityKind.TRAIN),
    ),
)


def test_row_is_read_field_by_field():
    assert read(GOOD) == PeopleFile(rows=(ANA,))


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(GOOD.encode("utf-8-sig"), id="utf-8 with its mark"),
        pytest.param(GOOD.encode("utf-16"), id="utf-16"),
        pytest.param(GOOD.replace("\n", "\r\n").encode(), id="windows line ends"),
        pytest.param(GOOD.replace(";", "|").replace(",", ";").encode(), id="semicolons"),
        pytest.param(GOOD.replace(",", "\t").encode(), id="tabs"),
        pytest.param(GOOD.replace("employee number", " Employee_Number ").encode(), id="heading"),
        pytest.param(
            GOOD.replace(",BH,", ",bh,").replace("trainer", "Trainer").encode(), id="case of codes and roles"
        ),
        pytest.param(GOOD.replace("2026-01-31", "31/01/2026").encode(), id="spoken day"),
        pytest.param(
            xlsx(COLUMNS, (1007, "Ana Tolosa", "A", "BH", START, None, date(2027, 5, 1), ROLES)), id="xlsx with days"
        ),
        pytest.param(
            xlsx(COLUMNS, ("1007", "Ana  Tolosa ", "A", "BH", "2026-01-31", "", "2027-05-01", ROLES)),
            id="xlsx with texts",
        ),
    ],
)
def test_same_person_comes_out_of_every_usual_form(content):
    assert read(content) == PeopleFile(rows=(ANA,))


def test_western_windows_encoding_is_read():
    text = HEAD + "7,Zoë Brännström,A,BH,2026-01-31,,\n"

    assert read(text.encode("cp1252")).rows[0].name == "Zoë Brännström"


def test_only_three_columns_are_needed():
    file = read("name,started on,employee number\nAna Tolosa,2026-01-31,7\n")

    assert file.rows == (PersonRow(row=2, works_number="7", name="Ana Tolosa", started_on=date(2026, 1, 31)),)


def test_known_person_needs_no_first_day():
    file = read(HEAD + "1001,Ilse Kramper,B,,,,\n")

    assert (file.faults, file.rows[0].started_on, file.rows[0].crew) == ((), None, "B")


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (",Ana Tolosa,,,2026-01-31,,", "row 2, employee number: this is empty"),
        ("7,,,,2026-01-31,,", "row 2, name: this is empty"),
        ("7,Ana,,,,,", "row 2, started on: this is empty"),
        ("7 8,Ana,,,2026-01-31,,", "row 2, employee number: an employee number holds up to 20 letters"),
        ("7,123,,,2026-01-31,,", "row 2, name: a name of at most 120 letters was expected"),
        ("7," + "a" * 121 + ",,,2026-01-31,,", "row 2, name: a name of at most 120 letters was expected"),
        ("7,=1+1,,,2026-01-31,,", "row 2, name: a formula stands here; put the value itself"),
        ("7,Ana,Z,,2026-01-31,,", "row 2, crew: Z is not one of A, B"),
        ("7,Ana,,BHH,2026-01-31,,", "row 2, area: BHH is not known here; did you mean BH?"),
        ("7,Ana,,,2026-02-30,,", "row 2, started on: there is no such day"),
        ("7,Ana,,,03/04/2026,,", "row 2, started on: 03/04/2026 could be 2026-04-03 or 2026-03-04"),
        ("7,Ana,,,04/25/2026,,", "row 2, started on: there is no such day"),
        ("7,Ana,,,last May,,", "row 2, started on: a day such as 2026-01-31 or 31/01/2026 was expected"),
        ("7,Ana,,,1949-12-31,,", "row 2, started on: 1949-12-31 cannot be a first working day"),
        ("7,Ana,,,2029-01-01,,", "row 2, started on: 2029-01-01 cannot be a first working day"),
        ("7,Ana,,,2026-01-31,2009-06-14,", "row 2, young worker until: this looks like a birth date"),
        (
            "7,Ana,,,2026-01-31,2034-11-26,",
            "row 2, young worker until: the bar of a young worker cannot last more than 8",
        ),
        ("7,Ana,,,2026-01-31,,manager", "row 2, roles: the role manager is not known; there are: trainer, assessor,"),
        ("7,Ana,,,2026-01-31,,trainr", "row 2, roles: the role trainr is not known; did you mean trainer?"),
        ("7,Ana,,,2026-01-31,,assessor ZZ", "row 2, roles: ZZ is not one of BH, CP, PK"),
    ],
)
def test_fault_names_row_column_and_what_is_wrong(row, fault):
    file = read(HEAD + row + "\n")

    (found,) = remarks(file.faults)
    assert found.startswith(fault)
    assert file.rows == ()


def test_all_faults_of_all_rows_come_at_once():
    file = read(HEAD + "7,Ana,Z,,x,,\n8,Bea,,,2026-01-31,,\n,,,,,,\n9,,,,2026-02-30,,x\n")

    assert [(fault.row, fault.column) for fault in file.faults] == [
        *((2, "started on"), (2, "crew")),
        *((5, "started on"), (5, "roles"), (5, "name")),
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("", "row 0: the file is empty"),
        ("\n,,\n", "row 0: the file is empty"),
        (HEAD, "row 1: there is no person under the heading"),
        ("name,crew\nAna,A\n", "row 1, employee number: this column is missing"),
        (HEAD.replace("crew", "name") + "1\n", "row 1, name: this column stands there twice"),
        (HEAD.replace("crew", "crw"), "row 1, crw: this column is not known; did you mean crew?"),
        (HEAD + '7,"Ana,A\n', "row 2: the quotes are not closed or a cell is too long"),
        ("," * 60 + "\n", "row 1: there are more than 40 columns"),
        (HEAD + "\n" * MAX_ROWS, f"row {MAX_ROWS + 1}: there are more than 5000 rows"),
    ],
)
def test_fault_of_the_file_as_a_whole(text, fault):
    assert remarks(read(text).faults)[0] == fault


def test_column_that_is_not_read_is_only_a_warning():
    file = read(HEAD.replace("\n", ",shoe size\n") + "7,Ana,,,2026-01-31,,,41\n")

    assert (remarks(file.warnings), len(file.rows)) == (["row 1, shoe size: this column is not read"], 1)


def test_number_given_twice_is_a_fault_and_a_name_given_twice_a_warning():
    file = read(HEAD + "7,Ana,,,2026-01-31,,\n7,Bea,,,2026-01-31,,\n8,ana,,,2026-01-31,,\n")

    assert remarks(file.faults) == ["row 3, employee number: 7 stands in row 2 too"]
    assert remarks(file.warnings) == ["row 4, name: ana stands in row 2 too, under 7: one person or two?"]


def test_changed_name_and_likely_same_person_are_shown():
    file = read(HEAD + "1001,Ilse Oberlin,,,,,\n9,Kramper Ilse,,,2026-01-31,,\n")

    assert file.faults == ()
    assert remarks(file.warnings) == [
        "row 2, name: Ilse Kramper becomes Ilse Oberlin: a change of name, or another person's number?",
        "row 3, name: Kramper Ilse is here already under 1001: likely the same person",
    ]


def test_bar_that_is_past_is_left_out_with_a_warning():
    file = read(HEAD + "7,Ana,,,2026-01-31,2026-11-25,\n")

    assert file.rows[0].restricted_until is None
    assert remarks(file.warnings) == ["row 2, young worker until: this day is past, so the bar is left out"]


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-01-31", date(2026, 1, 31)),
        ("2026-1-3", date(2026, 1, 3)),
        ("31/01/2026", date(2026, 1, 31)),
        ("13/12/2026", date(2026, 12, 13)),
        ("05/05/2026", date(2026, 5, 5)),
        ("29/02/2028", date(2028, 2, 29)),
    ],
)
def test_day_that_can_be_read_one_way(text, day):
    assert read_day(Cell(text)) == day


@settings(deadline=None)
@given(st.dates(min_value=date(1950, 1, 1), max_value=date(2100, 1, 1)))
def test_spoken_day_is_read_right_or_not_at_all(day):
    text = day.strftime("%d/%m/%Y")

    try:
        assert read_day(Cell(text)) == day
    except CellError:
        assert day.day <= 12
        assert day.day != day.month


def test_role_for_the_whole_plant_has_no_area():
    assert read_roles("Safety signatory; coordinator;", frozenset()) == (
        RoleRow(AuthorityKind.COORDINATE),
        RoleRow(AuthorityKind.SIGN_SAFETY),
    )


def test_formula_in_a_sheet_is_refused_and_never_worked_out():
    file = read(xlsx(COLUMNS, ("7", '=CONCAT("A","na")', "", "", date(2026, 1, 31), "", "")))

    assert remarks(file.faults) == ["row 2, name: a formula stands here; put the value itself"]


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"PK\x03\x04 but no archive", id="not an archive"),
        pytest.param(xlsx(COLUMNS)[:-200], id="cut off"),
        pytest.param(b"\x89PNG\r\n\x1a\n\x00\x00", id="a picture"),
        pytest.param(b"\xff\xfe\x00", id="half a character"),
    ],
)
def test_what_is_no_table_is_told_in_words(content):
    (fault,) = read(content).faults

    assert "cannot be read" in fault.message or "neither text nor an XLSX file" in fault.message


def test_archive_without_a_sheet_is_told_in_words():
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        archive.writestr("hello.txt", "hello")

    assert "cannot be read" in read(content.getvalue()).faults[0].message


def test_swollen_archive_is_not_unpacked():
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"\0" * 50_000_000)

    with pytest.raises(TableError, match="too large once unpacked"):
        read_table(content.getvalue())


def test_file_that_is_too_large_is_not_read():
    with pytest.raises(TableError, match="larger than 2000 kB"):
        read_table(b"," * (MAX_BYTES + 1))


@pytest.mark.parametrize("content", [csv_template(), xlsx_template()], ids=["csv", "xlsx"])
def test_empty_template_has_every_column_and_no_person(content):
    file = read(content)

    assert remarks(file.faults) == ["row 1: there is no person under the heading"]
    ((_row, cells),) = read_table(content)
    assert [cell.text for cell in cells] == list(COLUMNS)


@settings(max_examples=300, deadline=None)
@given(st.binary())
def test_reader_never_crashes_on_bytes(content):
    assert isinstance(read(content), PeopleFile)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=200))
def test_reader_never_crashes_on_a_broken_sheet(content):
    good = xlsx(COLUMNS, ("7", "Ana", "", "", "2026-01-31", "", ""))

    assert isinstance(read(good[:1500] + content + good[1500 + len(content) :]), PeopleFile)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.lists(st.text(st.characters(codec="utf-8"), max_size=12), min_size=7, max_size=7), max_size=5))
def test_reader_never_crashes_on_cells(rows):
    content = io.StringIO()
    csv.writer(content).writerows([COLUMNS, *rows])

    file = read(content.getvalue())

    assert len(file.rows) <= len(rows)
    assert file.rows or file.faults


WITH_LAST = "employee number,name,started on,last day\n"


def test_a_last_working_day_is_read():
    file = read(WITH_LAST + "7,Ana,2026-01-31,2026-06-30\n")

    assert (file.faults, file.rows[0].last_day) == ((), date(2026, 6, 30))


@pytest.mark.parametrize(
    ("day", "fault"),
    [
        ("2026-01-30", "row 2, last day: the last day lies before the first"),
        ("2029-01-01", "row 2, last day: 2029-01-01 cannot be a last working day"),
        ("soon", "row 2, last day: a day such as 2026-01-31 or 31/01/2026 was expected"),
    ],
)
def test_a_last_day_that_cannot_be_is_named(day, fault):
    file = read(WITH_LAST + f"7,Ana,2026-01-31,{day}\n")

    assert remarks(file.faults) == [fault]
