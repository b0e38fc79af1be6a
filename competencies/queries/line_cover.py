"""What is told of the cover of a line on a shift: its slots, who stands there, who does not count and why (R9)."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Assignment, Line, Person, Shift, Station
from competencies.queries.cover_rules import GroupPart, LineRules
from competencies.standing.depth import Depth
from competencies.standing.facts import Scope
from competencies.standing.placing import Needs
from competencies.standing.timeline import Reason, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A rostered person who holds the task and does not count to the end of the shift: why, and the way back.

    `until` is the moment up to which they did count (None: not from the start).
    """

    person: Person
    reasons: tuple[Reason, ...]
    way_back: tuple[Step, ...]
    until: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotCover:
    """One slot of a line on a shift: who stands there to its end (None: nobody), who else could, who almost could.

    `trainee` stands there under `person`. `relief` are people who count there and are placed nowhere. `part` is the
    station's part in a group of different people. `last_valid_on` is the last valid day of `person` there, `warnings`
    are about their hours.
    """

    station: Station
    scope: Scope
    part: GroupPart | None
    person: Person | None
    able: tuple[Person, ...]
    relief: tuple[Person, ...]
    barred: tuple[Barred, ...]
    trainee: Person | None
    is_short: bool
    last_valid_on: date | None
    warnings: tuple[Reason, ...]

    @property
    def others(self) -> tuple[Person, ...]:
        """Return who else could stand there."""
        return tuple(person for person in self.able if person != self.person)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCover:
    """A line on a shift of a day.

    `is_covered` speaks of the whole shift. `covered_until` is the moment up to which it is covered: the end of the
    shift where it is covered throughout, None where it is not from the start (R6.5). `steps` are the moments from
    which something else holds, with whether the line is covered then. `loose` are trainees whose supervising person
    covers no slot by them. `people` are all who are there, `busy` whoever trains or is trained anywhere, `hours` those
    with warnings about their hours.
    """

    line: Line
    shift: Shift
    on: date
    start: datetime
    end: datetime
    slots: tuple[SlotCover, ...]
    is_covered: bool
    steps: tuple[tuple[datetime, bool], ...]
    rules: LineRules
    loose: tuple[Assignment, ...]
    hours: tuple[tuple[Person, tuple[Reason, ...]], ...]
    people: tuple[Person, ...]
    busy: Collection[int]
    needs: Needs

    @property
    def short(self) -> tuple[SlotCover, ...]:
        """Return the smallest set of slots that too few people share."""
        return tuple(slot for slot in self.slots if slot.is_short)

    @property
    def unrelieved(self) -> tuple[SlotCover, ...]:
        """Return the slots for which nobody is free at breaks."""
        return tuple(slot for slot in self.slots if not slot.relief)

    @property
    def free(self) -> tuple[Person, ...]:
        """Return who is there, is placed nowhere and neither trains nor is trained."""
        placed = {slot.person for slot in self.slots}
        return tuple(person for person in self.people if person not in placed and person.pk not in self.busy)

    @property
    def covered_until(self) -> datetime | None:
        """Return the moment up to which the line is covered from the start of the shift."""
        failing = next((since for since, is_covered in self.steps if not is_covered), self.end)
        return failing if failing > self.start else None

    def is_covered_at(self, moment: datetime) -> bool:
        """Whether the line is covered at a moment of the shift."""
        return [is_covered for since, is_covered in self.steps if since <= max(moment, self.start)][-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationDepth:
    """A station, how many absences it survives, and on whom it hangs."""

    station: Station
    depth: Depth
    hangs_on: tuple[Person, ...]
