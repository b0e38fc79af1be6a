"""Rosters and absences out of spreadsheets: what is read, and every fault by its row and column."""

from datetime import date

import pytest

from competencies.importing.plan import AwayRow, KnownPerson, KnownPlan, RosterRow
from competencies.importing.plan_file import read_absences, read_roster

ON = date(2026, 3, 2)
KNOWN = KnownPlan(
    people={
        "41": KnownPerson(
            name="Aud Lund", started_on=date(2024, 1, 1), away=((date(2026, 3, 10), date(2026, 3, 12)),)
        ),
        "42": KnownPerson(name="Bao Ngo", started_on=date(2026, 3, 5), last_day=date(2026, 4, 1)),
    },
    shifts=frozenset({"day", "late", "night"}),
    lines=frozenset({"L1", "L2"}),
)
ROSTER = "employee number,day,shift,line,overtime minutes\n"
AWAY = "employee number,first day away,last day away\n"


def test_a_roster_is_read_with_line_and_overtime_left_open_where_they_are_empty():
    found = read_roster(f"{ROSTER}41,2026-03-03,Day,l1,90\n42,13/03/2026,night,,\n".encode(), on=ON, known=KNOWN)

    assert found.faults == ()
    assert found.roster == (
        RosterRow(row=2, works_number="41", on=date(2026, 3, 3), shift="day", line="L1", overtime_minutes=90),
        RosterRow(row=3, works_number="42", on=date(2026, 3, 13), shift="night"),
    )


def test_absences_are_read_both_days_in():
    found = read_absences(f"{AWAY}41,2026-03-13,2026-03-13\n".encode(), on=ON, known=KNOWN)

    assert found.faults == ()
    assert found.away == (AwayRow(row=2, works_number="41", from_on=date(2026, 3, 13), until_on=date(2026, 3, 13)),)


@pytest.mark.parametrize(
    ("row", "column", "said"),
    [
        ("99,2026-03-03,day,,", "employee number", "nobody here has the number 99"),
        (",2026-03-03,day,,", "employee number", "this is empty"),
        ("41,,day,,", "day", "this is empty"),
        ("41,2026-02-30,day,,", "day", "there is no such day"),
        ("41,03/04/2026,day,,", "day", "2026-04-03"),
        ("41,2036-03-03,day,,", "day", "is the year right?"),
        ("41,inf,day,,", "day", "was expected"),
        ("42,2026-03-04,day,,", "day", "Bao Ngo does not work here on that day"),
        ("42,2026-04-02,day,,", "day", "Bao Ngo does not work here on that day"),
        ("41,2026-03-03,dya,,", "shift", "did you mean day?"),
        ("41,2026-03-03,day,L9,", "line", "L9"),
        ("41,2026-03-03,day,,-5", "overtime minutes", "from 0 to 720"),
        ("41,2026-03-03,day,,721", "overtime minutes", "from 0 to 720"),
        ("41,2026-03-03,day,," + "9" * 400, "overtime minutes", "from 0 to 720"),
        ("41,2026-03-03,=1+1,,", "shift", "a formula stands here"),
    ],
)
def test_a_fault_of_a_roster_is_named_by_row_and_column(row, column, said):
    [fault] = read_roster(f"{ROSTER}{row}\n".encode(), on=ON, known=KNOWN).faults

    assert (fault.row, fault.column) == (2, column)
    assert said in fault.message


@pytest.mark.parametrize(
    ("rows", "row", "said"),
    [
        ("41,2026-03-20,2026-03-19", 2, "the last day lies before the first"),
        ("41,2026-03-12,2026-03-20", 2, "away from 2026-03-10 to 2026-03-12 already"),
        ("41,2026-03-20,2026-03-25\n41,2026-03-25,2026-03-26", 3, "overlap those of row 2"),
        ("42,2026-03-04,2026-03-06", 2, "does not work here"),
        ("41,2026-03-20,", 2, "this is empty"),
    ],
)
def test_a_fault_of_absences_is_named_by_its_row(rows, row, said):
    [fault] = read_absences(f"{AWAY}{rows}\n".encode(), on=ON, known=KNOWN).faults

    assert fault.row == row
    assert said in fault.message


def test_the_same_shift_twice_is_a_fault_and_a_shift_on_a_day_away_a_warning():
    twice = read_roster(f"{ROSTER}41,2026-03-03,day,,\n41,2026-03-03,day,L1,\n".encode(), on=ON, known=KNOWN)
    away = read_roster(f"{ROSTER}41,2026-03-11,day,,\n".encode(), on=ON, known=KNOWN)

    assert [fault.row for fault in twice.faults] == [3]
    assert away.faults == ()
    assert "away" in away.warnings[0].message


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("employee number,day\n", "this column is missing"),
        ("employee number,day,shift,shift\n", "stands there twice"),
        ("employee number,day,shfit\n", "did you mean shift?"),
    ],
)
def test_a_fault_of_the_heading_is_named(heading, said):
    assert any(
        said in fault.message
        for fault in read_roster(f"{heading}41,2026-03-03,day\n".encode(), on=ON, known=KNOWN).faults
    )


@pytest.mark.parametrize("content", [b"", b"\x00\x01", b"PK\x03\x04broken", b"a" * 3_000_000, ROSTER.encode()])
def test_what_is_no_table_is_said_and_nothing_is_taken(content):
    found = read_roster(content, on=ON, known=KNOWN)

    assert found.roster == ()
    assert found.faults
