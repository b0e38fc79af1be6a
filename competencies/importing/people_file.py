"""People out of a spreadsheet, with every fault by row and column. Pure.

The columns are described in seed_fixtures/README.md.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import TypeVar

from competencies.importing.faults import mark as _
from competencies.importing.fields import nearest
from competencies.importing.people import KnownPlant, PeopleFile, PersonRow, Remark, RoleRow
from competencies.importing.tables import MAX_CELL, Cell, TableError, read_table
from competencies.vocabulary import AuthorityKind

NUMBER = "employee number"
NAME = "name"
CREW = "crew"
AREA = "area"
STARTED = "started on"
LAST = "last day"
YOUNG = "young worker until"
ROLES = "roles"
COLUMNS = (NUMBER, NAME, CREW, AREA, STARTED, LAST, YOUNG, ROLES)
NEEDED = (NUMBER, NAME, STARTED)

ROLE_WORDS: Mapping[str, AuthorityKind] = {
    "trainer": AuthorityKind.TRAIN,
    "assessor": AuthorityKind.ASSESS,
    "food signatory": AuthorityKind.SIGN_FOOD,
    "safety signatory": AuthorityKind.SIGN_SAFETY,
    "supervisor": AuthorityKind.SUPERVISE,
    "coordinator": AuthorityKind.COORDINATE,
    "auditor": AuthorityKind.AUDIT,
}
FIRST_YEAR = 1950
YEARS_AHEAD = 8
WORKS_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9./_-]{0,19}")
ISO_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
SPOKEN_DAY = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
Value = TypeVar("Value")
ANY_LETTER = re.compile(r"[^\W\d_]")


class CellError(ValueError):
    """A cell that cannot be taken; `text` and `values` make the sentence."""

    def __init__(self, text: str, **values: object) -> None:
        self.text = text
        self.values = values
        super().__init__(text % values)


def read_people(content: bytes, *, on: date, known: KnownPlant) -> PeopleFile:
    """Return the people that a CSV or XLSX file holds, read on the day `on`, with all faults and warnings."""
    try:
        table = read_table(content)
    except TableError as error:
        return PeopleFile(faults=(Remark(error.row, "", error.text, error.values),))
    return _Reading(known, on).read(table)


def read_day(cell: Cell) -> date:
    """Return the day of a cell: a date cell, 2026-01-31 or 31/01/2026. Raises CellError.

    A day such as 03/04/2026 is read as different days in different countries, so it is never guessed.
    """
    if cell.day:
        return cell.day
    if match := ISO_DAY.fullmatch(cell.text):
        return _day(int(match[1]), int(match[2]), int(match[3]))
    if match := SPOKEN_DAY.fullmatch(cell.text):
        day, month, year = int(match[1]), int(match[2]), int(match[3])
        if day != month and day <= 12 and month <= 12:  # noqa: PLR2004 - months of a year
            first, second = _day(year, month, day), _day(year, day, month)
            message = _("%(written)s could be %(first)s or %(second)s: write the one that is meant")
            raise CellError(message, written=cell.text, first=first.isoformat(), second=second.isoformat())
        return _day(year, month, day)
    raise CellError(_("a day such as 2026-01-31 or 31/01/2026 was expected"))


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise CellError(_("there is no such day")) from None


def read_roles(text: str, areas: frozenset[str]) -> tuple[RoleRow, ...]:
    """Return the roles of a cell such as "trainer; assessor BH CP; food signatory". Raises CellError.

    A role without an area is held for the whole plant.
    """
    found: set[RoleRow] = set()
    for part in re.split(r"[;|]", text):
        words = " ".join(part.split())
        if words:
            found.update(_read_role(words, areas))
    return tuple(sorted(found))


def _read_role(words: str, areas: frozenset[str]) -> list[RoleRow]:
    role = next((role for role in ROLE_WORDS if (words + " ").lower().startswith(role + " ")), None)
    if role is None:
        meant = nearest(words, ROLE_WORDS)
        if meant:
            raise CellError(_("the role %(role)s is not known; did you mean %(meant)s?"), role=words, meant=meant)
        raise CellError(_("the role %(role)s is not known; there are: %(all)s"), role=words, all=", ".join(ROLE_WORDS))
    codes = re.split(r"[ ,]+", words[len(role) :].strip(" ,"))
    return [RoleRow(ROLE_WORDS[role], known_code(code, areas) if code else "") for code in codes]


def known_code(text: str, codes: frozenset[str]) -> str:
    """Return the code as the plant writes it, whatever its case. Raises CellError when there is none."""
    match = next((code for code in codes if code.lower() == text.lower()), None)
    if match is None:
        meant = nearest(text, codes)
        known = meant or ", ".join(sorted(codes))
        if meant:
            hint = _("%(code)s is not known here; did you mean %(known)s?")
        elif codes:
            hint = _("%(code)s is not one of %(known)s")
        else:
            hint = _("%(code)s is not known here; the plant has none yet")
        raise CellError(hint, code=text, known=known)
    return match


class _Reading:
    """Reads one table: first the heading, then row by row; notes what is wrong and goes on."""

    def __init__(self, known: KnownPlant, on: date) -> None:
        self.known = known
        self.on = on
        self.faults: list[Remark] = []
        self.warnings: list[Remark] = []
        self.columns: dict[str, int] = {}

    def read(self, table: list[tuple[int, tuple[Cell, ...]]]) -> PeopleFile:
        """Return everything that the table holds."""
        heading, *body = table
        self._read_heading(*heading)
        rows: list[PersonRow] = []
        if not self.faults:
            rows = [row for number, cells in body if (row := self._read_row(number, cells))]
            if not body:
                self.faults.append(Remark(heading[0], "", _("there is no person under the heading")))
            self._note_repeats(rows)
            self._note_known(rows)
        return PeopleFile(rows=tuple(rows), faults=tuple(self.faults), warnings=tuple(self.warnings))

    def _read_heading(self, number: int, cells: tuple[Cell, ...]) -> None:
        for index, cell in enumerate(cells):
            heading = " ".join(re.split(r"[\s_-]+", cell.text.lower().strip()))
            if heading in self.columns:
                self.faults.append(Remark(number, heading, _("this column stands there twice")))
            elif heading in COLUMNS:
                self.columns[heading] = index
            elif heading:
                self._note_unknown_column(number, cell.text)
        for heading in NEEDED:
            if heading not in self.columns:
                self.faults.append(Remark(number, heading, _("this column is missing")))

    def _note_unknown_column(self, number: int, heading: str) -> None:
        meant = nearest(heading, COLUMNS)
        if meant and meant not in self.columns:
            message = _("this column is not known; did you mean %(meant)s?")
            self.faults.append(Remark(number, heading, message, {"meant": meant}))
        else:
            self.warnings.append(Remark(number, heading, _("this column is not read")))

    def _read_row(self, number: int, cells: tuple[Cell, ...]) -> PersonRow | None:
        row = _RowCells(number, cells, self.columns)
        before = len(self.faults)
        works_number = row.take(NUMBER, _read_works_number, "")
        name = row.take(NAME, _read_name, "")
        started_on = row.take(STARTED, self._read_start, None)
        crew = row.take(CREW, lambda cell: known_code(cell.text, self.known.crews), "")
        area = row.take(AREA, lambda cell: known_code(cell.text, self.known.areas), "")
        last_day = row.take(LAST, self._read_last, None)
        restricted_until = row.take(YOUNG, read_day, None)
        no_roles: tuple[RoleRow, ...] = ()
        roles = row.take(ROLES, lambda cell: read_roles(cell.text, self.known.areas), no_roles)
        for column in NEEDED:
            if row.is_empty(column) and not (column == STARTED and works_number in self.known.names):
                row.faults.append(Remark(number, column, _("this is empty")))
        if started_on and last_day and last_day < started_on:
            row.faults.append(Remark(number, LAST, _("the last day lies before the first")))
        restricted_until = self._judge_young(row, restricted_until)
        self.faults.extend(row.faults)
        if len(self.faults) > before:
            return None
        return PersonRow(
            row=number,
            works_number=works_number,
            name=name,
            started_on=started_on,
            crew=crew,
            area=area,
            last_day=last_day,
            restricted_until=restricted_until,
            roles=roles,
        )

    def _read_start(self, cell: Cell) -> date:
        day = read_day(cell)
        if day.year < FIRST_YEAR or day > _years_after(self.on, 2):
            raise CellError(_("%(day)s cannot be a first working day"), day=day.isoformat())
        return day

    def _read_last(self, cell: Cell) -> date:
        day = read_day(cell)
        if day.year < FIRST_YEAR or day > _years_after(self.on, 2):
            raise CellError(_("%(day)s cannot be a last working day"), day=day.isoformat())
        return day

    def _judge_young(self, row: "_RowCells", until: date | None) -> date | None:
        """Return the day on which the bar lifts; a birth date typed here by mistake is refused, never kept."""
        if until is None:
            return None
        if until > _years_after(self.on, YEARS_AHEAD):
            message = _("the bar of a young worker cannot last more than %(years)s years")
            row.faults.append(Remark(row.number, YOUNG, message, {"years": YEARS_AHEAD}))
        elif until <= _years_after(self.on, -YEARS_AHEAD):
            message = _("this looks like a birth date, which is not kept here; give the day on which the bar lifts")
            row.faults.append(Remark(row.number, YOUNG, message))
        elif until <= self.on:
            self.warnings.append(Remark(row.number, YOUNG, _("this day is past, so the bar is left out")))
            return None
        return until

    def _note_repeats(self, rows: list[PersonRow]) -> None:
        numbers: dict[str, int] = {}
        names: dict[str, PersonRow] = {}
        for row in rows:
            if row.works_number in numbers:
                message = _("%(number)s stands in row %(row)s too")
                values = {"number": row.works_number, "row": numbers[row.works_number]}
                self.faults.append(Remark(row.row, NUMBER, message, values))
            elif (other := names.get(_plain(row.name))) is not None:
                message = _("%(name)s stands in row %(row)s too, under %(number)s: one person or two?")
                values = {"name": row.name, "row": other.row, "number": other.works_number}
                self.warnings.append(Remark(row.row, NAME, message, values))
            numbers.setdefault(row.works_number, row.row)
            names.setdefault(_plain(row.name), row)

    def _note_known(self, rows: list[PersonRow]) -> None:
        by_name = {_plain(name): number for number, name in self.known.names.items()}
        for row in rows:
            present = self.known.names.get(row.works_number)
            other = by_name.get(_plain(row.name))
            if present is not None and present != row.name:
                message = _("%(before)s becomes %(after)s: a change of name, or another person's number?")
                self.warnings.append(Remark(row.row, NAME, message, {"before": present, "after": row.name}))
            elif present is None and other is not None:
                message = _("%(name)s is here already under %(number)s: likely the same person")
                self.warnings.append(Remark(row.row, NAME, message, {"name": row.name, "number": other}))


class _RowCells:
    """One row's cells by heading, and the faults found in them."""

    def __init__(self, number: int, cells: tuple[Cell, ...], columns: Mapping[str, int]) -> None:
        self.number = number
        self.cells = cells
        self.columns = columns
        self.faults: list[Remark] = []

    def cell(self, column: str) -> Cell:
        """Return the cell under a heading; an empty one where the row is shorter or the column is not there."""
        index = self.columns.get(column)
        return self.cells[index] if index is not None and index < len(self.cells) else Cell()

    def is_empty(self, column: str) -> bool:
        """Return whether nothing stands under a heading."""
        return not (self.cell(column).text or self.cell(column).is_formula)

    def take(self, column: str, read: Callable[[Cell], Value], empty: Value) -> Value:
        """Return what `read` makes of the cell, or `empty` where it holds nothing or nothing that can be taken."""
        if self.is_empty(column):
            return empty
        try:
            return read(self._plain_cell(column))
        except CellError as error:
            self.faults.append(Remark(self.number, column, error.text, error.values))
            return empty

    def _plain_cell(self, column: str) -> Cell:
        cell = self.cell(column)
        if cell.is_formula:
            raise CellError(_("a formula stands here; put the value itself"))
        if len(cell.text) > MAX_CELL:
            raise CellError(_("this is longer than %(longest)s characters"), longest=MAX_CELL)
        return cell


def _read_works_number(cell: Cell) -> str:
    if not WORKS_NUMBER.fullmatch(cell.text):
        raise CellError(_("an employee number holds up to 20 letters, digits, dots, dashes or slashes"))
    return cell.text


def _read_name(cell: Cell) -> str:
    longest = 120
    if len(cell.text) > longest or not cell.text.isprintable() or not ANY_LETTER.search(cell.text):
        raise CellError(_("a name of at most %(longest)s letters was expected"), longest=longest)
    return cell.text


def _plain(name: str) -> str:
    return " ".join(sorted(name.casefold().replace(",", " ").split()))


def _years_after(day: date, years: int) -> date:
    # 29 February becomes 1 March in a year that has none.
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)
