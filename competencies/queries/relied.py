"""The shifts on which somebody was counted who, as is known now, did not count; or was not, and did (R7)."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeAlias

from django.db.models import Q

from competencies.models import Line, Person, RosterDay, Shift
from competencies.standing.calendar import clock_of
from competencies.standing.case import Key
from competencies.standing.cover import covers_shift
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Timeline

Rules: TypeAlias = Mapping[int, PersonRule]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReliedShift:
    """A shift that a person was rostered for: whether they counted for a task there by the one and the other record.

    `line` is None where the roster names no line.
    """

    person: Person
    on: date
    shift: Shift
    line: Line | None
    task: str
    scope: Scope
    counted: bool
    counts: bool


def shifts_relied(
    before: Rules, after: Rules, *, people: Mapping[int, Person], frame: Frame, window: tuple[date, datetime]
) -> list[ReliedShift]:
    """Return the rostered shifts, begun from a day on and by a moment, for which two records say different things.

    One query. A line's shift asks only for tasks of that line, of its machines, and of the whole site.
    """
    differing = {number: _differing(before[number], rule) for number, rule in after.items()}
    numbers = [number for number, keys in differing.items() if keys]
    if not numbers:
        return []
    since, until = window
    rows = (
        RosterDay.objects.filter(Q(person__in=numbers) | Q(person__joined_into__in=numbers))
        .filter(on__gte=since, on__lte=clock_of(frame.timezone).day(until))
        .select_related("shift", "line", "person")
        .order_by("on", "shift__starts", "person")
    )
    found: list[ReliedShift] = []
    for row in rows:
        if _has_begun(row, frame, until):
            # A record that was joined to another worked its shifts as that one.
            number = row.person_id if row.person_id in differing else row.person.joined_into_id or row.person_id
            found += _on_shift(row, differing[number], people[number], frame)
    return found


def _differing(before: PersonRule, after: PersonRule) -> dict[Key, tuple[Timeline, Timeline]]:
    keys = sorted({*before.keys(), *after.keys()})
    pairs = {key: (before.timeline(*key), after.timeline(*key)) for key in keys}
    return {key: pair for key, pair in pairs.items() if list(pair[0].periods) != list(pair[1].periods)}


def _has_begun(row: RosterDay, frame: Frame, until: datetime) -> bool:
    start, _ = clock_of(frame.timezone).shift_bounds(frame.shifts[row.shift.name], row.on)
    return start <= until


def _on_shift(
    row: RosterDay, differing: Mapping[Key, tuple[Timeline, Timeline]], person: Person, frame: Frame
) -> Iterator[ReliedShift]:
    for (task, scope), timelines in differing.items():
        if row.line is not None and scope.line not in {"", row.line.code}:
            continue
        counted, counts = (covers_shift(each, frame.shifts[row.shift.name], row.on, frame)[0] for each in timelines)
        if counted != counts:
            yield ReliedShift(
                person=person,
                on=row.on,
                shift=row.shift,
                line=row.line,
                task=task,
                scope=scope,
                counted=counted,
                counts=counts,
            )
