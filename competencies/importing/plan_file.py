"""A roster or absences out of a spreadsheet, with every fault by row and column. Pure."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Final, TypeVar

from competencies.importing.faults import mark as _
from competencies.importing.fields import nearest
from competencies.importing.people import Remark
from competencies.importing.people_file import CellError, known_code, read_day
from competencies.importing.plan import AwayRow, KnownPerson, KnownPlan, PlanFile, RosterRow
from competencies.importing.tables import MAX_CELL, Cell, TableError, read_table

NUMBER: Final = "employee number"
DAY: Final = "day"
SHIFT: Final = "shift"
LINE: Final = "line"
OVERTIME: Final = "overtime minutes"
FIRST: Final = "first day away"
LAST: Final = "last day away"
ROSTER_COLUMNS: Final = (NUMBER, DAY, SHIFT, LINE, OVERTIME)
AWAY_COLUMNS: Final = (NUMBER, FIRST, LAST)
OPTIONAL: Final = frozenset({LINE, OVERTIME})
#: A shift and its overtime fit into a day.
MOST_OVERTIME: Final = 720
DAYS_BACK: Final = 31
DAYS_AHEAD: Final = 400
MOST_DAYS_AWAY: Final = 800
Value = TypeVar("Value")
Row = Mapping[str, Cell]


def read_roster(content: bytes, *, on: date, known: KnownPlan) -> PlanFile:
    """Return the roster that a CSV or XLSX file holds, read on the day `on`, with all faults and warnings."""
    reading = _Reading(known, on)
    rows = tuple(row for row in reading.rows(content, ROSTER_COLUMNS, reading.roster_row) if row)
    seen: dict[tuple[str, date, str], int] = {}
    for row in rows:
        first = seen.setdefault((row.works_number, row.on, row.shift), row.row)
        if first != row.row:
            reading.fault(row.row, SHIFT, _("the same person, day and shift stand in row %(row)s too"), row=first)
        person = known.people[row.works_number]
        if any(start <= row.on <= end for start, end in person.away):
            reading.warn(row.row, DAY, _("%(name)s is entered as away on this day"), name=person.name)
    return PlanFile(roster=rows, faults=tuple(reading.faults), warnings=tuple(reading.warnings))


def read_absences(content: bytes, *, on: date, known: KnownPlan) -> PlanFile:
    """Return the absences that a CSV or XLSX file holds, read on the day `on`, with all faults and warnings."""
    reading = _Reading(known, on)
    rows = tuple(row for row in reading.rows(content, AWAY_COLUMNS, reading.away_row) if row)
    seen: dict[str, list[AwayRow]] = {}
    for row in rows:
        for start, end in known.people[row.works_number].away:
            if start <= row.until_on and row.from_on <= end:
                message = _("away from %(first)s to %(last)s already")
                reading.fault(row.row, FIRST, message, first=start.isoformat(), last=end.isoformat())
        earlier = seen.setdefault(row.works_number, [])
        for other in earlier:
            if other.from_on <= row.until_on and row.from_on <= other.until_on:
                reading.fault(row.row, FIRST, _("these days overlap those of row %(row)s"), row=other.row)
        earlier.append(row)
    return PlanFile(away=rows, faults=tuple(reading.faults), warnings=tuple(reading.warnings))


class _Reading:
    """Reads one table: the heading, then row by row; notes what is wrong and goes on."""

    def __init__(self, known: KnownPlan, on: date) -> None:
        self.known = known
        self.on = on
        self.faults: list[Remark] = []
        self.warnings: list[Remark] = []

    def fault(self, row: int, column: str, text: str, /, **values: object) -> None:
        """Note a fault."""
        self.faults.append(Remark(row, column, text, values))

    def warn(self, row: int, column: str, text: str, /, **values: object) -> None:
        """Note what somebody should look at twice."""
        self.warnings.append(Remark(row, column, text, values))

    def rows(
        self, content: bytes, columns: Sequence[str], read: Callable[[int, Row], Value | None]
    ) -> list[Value | None]:
        """Return what `read` makes of each row under the heading; None where it notes a fault."""
        try:
            (number, heading), *body = read_table(content)
        except TableError as error:
            self.fault(error.row, "", error.text, **error.values)
            return []
        places = self._places(number, heading, columns)
        if self.faults:
            return []
        if not body:
            self.fault(number, "", _("there is nothing under the heading"))
        return [
            read(row, {name: cells[place] for name, place in places.items() if place < len(cells)})
            for row, cells in body
        ]

    def _places(self, number: int, heading: Sequence[Cell], columns: Sequence[str]) -> dict[str, int]:
        found: dict[str, int] = {}
        for place, cell in enumerate(heading):
            name = " ".join(cell.text.lower().replace("_", " ").replace("-", " ").split())
            if name in found:
                self.fault(number, name, _("this column stands there twice"))
            elif name in columns:
                found[name] = place
            elif name and (meant := nearest(name, columns)):
                self.fault(number, cell.text, _("this column is not known; did you mean %(meant)s?"), meant=meant)
            elif name:
                self.warn(number, cell.text, _("this column is not read"))
        for name in columns:
            if name not in found and name not in OPTIONAL:
                self.fault(number, name, _("this column is missing"))
        return found

    def roster_row(self, number: int, cells: Row) -> RosterRow | None:
        """Return a row of a roster."""
        before = len(self.faults)
        works_number, person = self._person(number, cells)
        on = self._take(number, cells, DAY, self._read_day)
        shift = self._take(number, cells, SHIFT, lambda cell: known_code(cell.text, self.known.shifts))
        line = self._take(number, cells, LINE, lambda cell: known_code(cell.text, self.known.lines))
        overtime = self._take(number, cells, OVERTIME, _read_minutes)
        if person and on and not person.works_on(on):
            self.fault(number, DAY, _("%(name)s does not work here on that day"), name=person.name)
        if len(self.faults) > before or on is None:
            return None
        return RosterRow(
            row=number,
            works_number=works_number,
            on=on,
            shift=shift or "",
            line=line or "",
            overtime_minutes=overtime or 0,
        )

    def away_row(self, number: int, cells: Row) -> AwayRow | None:
        """Return a row of absences."""
        before = len(self.faults)
        works_number, person = self._person(number, cells)
        first = self._take(number, cells, FIRST, self._read_day)
        last = self._take(number, cells, LAST, self._read_day)
        if first and last and last < first:
            self.fault(number, LAST, _("the last day lies before the first"))
        elif first and last and (last - first).days >= MOST_DAYS_AWAY:
            message = _("%(days)s days are more than an absence may have")
            self.fault(number, LAST, message, days=(last - first).days + 1)
        if person and first and not person.works_on(first):
            self.fault(number, FIRST, _("%(name)s does not work here on that day"), name=person.name)
        if len(self.faults) > before or first is None or last is None:
            return None
        return AwayRow(row=number, works_number=works_number, from_on=first, until_on=last)

    def _person(self, number: int, cells: Row) -> tuple[str, KnownPerson | None]:
        works_number = self._take(number, cells, NUMBER, self._read_number) or ""
        return works_number, self.known.people.get(works_number)

    def _read_number(self, cell: Cell) -> str:
        if cell.text not in self.known.people:
            raise CellError(_("nobody here has the number %(number)s"), number=cell.text)
        return cell.text

    def _read_day(self, cell: Cell) -> date:
        day = read_day(cell)
        if not -DAYS_BACK <= (day - self.on).days <= DAYS_AHEAD:
            message = _("%(day)s is more than %(back)s days back or %(ahead)s ahead: is the year right?")
            raise CellError(message, day=day.isoformat(), back=DAYS_BACK, ahead=DAYS_AHEAD)
        return day

    def _take(self, number: int, cells: Row, column: str, read: Callable[[Cell], Value]) -> Value | None:
        """Return what `read` makes of a cell; None where it is empty or cannot be taken, which is then noted."""
        cell = cells.get(column, Cell())
        try:
            if cell.is_formula:
                raise CellError(_("a formula stands here; put the value itself"))
            if len(cell.text) > MAX_CELL:
                raise CellError(_("this is longer than %(longest)s characters"), longest=MAX_CELL)
            if cell.text:
                return read(cell)
            if column not in OPTIONAL:
                raise CellError(_("this is empty"))
        except CellError as error:
            self.fault(number, column, error.text, **error.values)
        return None


def _read_minutes(cell: Cell) -> int:
    if not cell.text.isascii() or not cell.text.isdecimal() or len(cell.text) > len(str(MOST_OVERTIME)):
        raise CellError(_("whole minutes from 0 to %(most)s were expected"), most=MOST_OVERTIME)
    minutes = int(cell.text)
    if minutes > MOST_OVERTIME:
        raise CellError(_("whole minutes from 0 to %(most)s were expected"), most=MOST_OVERTIME)
    return minutes
