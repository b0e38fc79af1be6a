"""The plan of the floor as plain rows: who is rostered, who is away, and what the plant knows already. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from competencies.importing.people import Remark


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterRow:
    """One person on one shift. `row` counts as the spreadsheet does; an empty `line` leaves open where."""

    row: int
    works_number: str
    on: date
    shift: str
    line: str = ""
    overtime_minutes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayRow:
    """One absence, both days in."""

    row: int
    works_number: str
    from_on: date
    until_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPerson:
    """What a row about a person is read against: first and last working day, and the absences there are."""

    name: str
    started_on: date
    last_day: date | None = None
    away: tuple[tuple[date, date], ...] = ()

    def works_on(self, day: date) -> bool:
        """Whether the person is employed on a day."""
        return self.started_on <= day and (self.last_day is None or day <= self.last_day)


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlan:
    """What the plant has: people by employee number, the names of shifts, the codes of lines."""

    people: Mapping[str, KnownPerson] = field(default_factory=dict)
    shifts: frozenset[str] = frozenset()
    lines: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFile:
    """What a spreadsheet holds: a roster or absences. With any fault nothing of it may be taken."""

    roster: tuple[RosterRow, ...] = ()
    away: tuple[AwayRow, ...] = ()
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
