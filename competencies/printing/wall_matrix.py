"""The matrix for the wall: the people of a line by its tasks, to be read at arm's length, void after a day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from competencies.models import Line, Person
from competencies.operations.paper import Statement
from competencies.printing.sheets import Sheet
from competencies.queries.cover_slots import StationSlot, slots_by_line
from competencies.queries.standing import standings_at
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period
from competencies.vocabulary import SheetKind, Standing

VOID_AFTER: Final = timedelta(days=31)
# What fits beside the names on a sheet of A3 with a column of 20 mm each.
COLUMNS: Final = 16
ON_THE_WAY: Final = frozenset(
    {Standing.NOT_STARTED, Standing.LEARNING, Standing.READY, Standing.AWAITING_SIGNATURE, Standing.AWAITING_REVISION}
)


@dataclass(frozen=True, slots=True)
class Cell:
    """A person at a station: the mark that stands in the cell, and the last valid day where it counts."""

    mark: str
    last_valid_on: date | None


@dataclass(frozen=True, slots=True)
class Block:
    """As many stations as fit side by side, a row of cells for each person, and how many count at each."""

    slots: Sequence[StationSlot]
    rows: Sequence[tuple[Person, Sequence[Cell]]]
    counts: Sequence[int]


def wall_matrix(line: Line, *, on: date, moment: datetime) -> Sheet:
    """Return the matrix of a line at a moment of a day. A fixed number of queries.

    Everybody is on it who works here that day and ever touched one of the line's tasks.
    """
    found = {slot.station.pk: slot for slot in slots_by_line([line]).get(line.pk, ())}
    slots = sorted(found.values(), key=lambda slot: (slot.station.task.code, str(slot.scope)))
    codes = {slot.station.task.code for slot in slots}
    touched = Person.objects.filter(plant=line.plant_id, standing_periods__task__code__in=codes).employed(on)
    people = {row.pk: row for row in touched.distinct().order_by("name", "works_number")}
    held = standings_at(people=set(people), moment=moment, tasks=codes)
    periods = {(each.person_id, each.task_code, each.scope): each.period for each in held}
    blocks = [
        _block(slots[start : start + COLUMNS], list(people.values()), periods)
        for start in range(0, len(slots), COLUMNS)
    ]
    return Sheet(
        plant=line.plant,
        statement=Statement(kind=SheetKind.MATRIX, as_of=on, lines=tuple(_lines(line, blocks))),
        context={"line": line, "blocks": blocks, "void_after": on + VOID_AFTER},
    )


def _block(
    slots: Sequence[StationSlot], people: Sequence[Person], periods: dict[tuple[int, str, Scope], Period]
) -> Block:
    keys = [(slot.station.task.code, slot.scope) for slot in slots]
    rows = [(person, [_cell(periods.get((person.pk, *key))) for key in keys]) for person in people]
    shown = [row for row in rows if any(cell.mark for cell in row[1])]
    return Block(
        slots,
        shown,
        [sum(cells[place].mark in {"counts", "due"} for _who, cells in shown) for place in range(len(slots))],
    )


def _cell(period: Period | None) -> Cell:
    """Return the mark of a standing: "" where there is nothing to say."""
    if period is None or period.standing is Standing.NOT_STARTED:
        return Cell("", None)
    if period.counts:
        mark = "counts" if period.standing is Standing.IN_FORCE else "due"
        return Cell(mark, period.last_valid_on)
    if period.standing is Standing.RESTRICTED:
        return Cell("restricted", None)
    return Cell("training" if period.standing in ON_THE_WAY else "out", None)


def _lines(line: Line, blocks: Sequence[Block]) -> list[str]:
    return [
        f"{line.code} {slot.station.task.code}@{slot.scope} {person.pk} {cell.mark} {cell.last_valid_on or ''}"
        for block in blocks
        for person, cells in block.rows
        for slot, cell in zip(block.slots, cells, strict=True)
    ]
