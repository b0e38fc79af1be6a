"""Is a line covered on a shift, by whom, and what is short (R9)."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q

from competencies.models import Absence, Assignment, Line, Person, RosterDay, Shift, Station
from competencies.queries.frame import frame_of
from competencies.queries.standing import timelines_of
from competencies.standing.cover import covers_shift
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.staffing import Staffing, staff
from competencies.standing.timeline import Reason, Timeline
from competencies.vocabulary import ScopeKind


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotCover:
    """One slot of a line on a shift: who stands there (None: nobody), who else could, and who almost could.

    `trainee` stands there under `person`. `barred` are rostered people who hold the task but do not count, with why.
    """

    station: Station
    scope: Scope
    person: Person | None
    able: tuple[Person, ...]
    barred: tuple[tuple[Person, tuple[Reason, ...]], ...]
    trainee: Person | None
    is_short: bool

    @property
    def others(self) -> tuple[Person, ...]:
        """Return who else could stand there."""
        return tuple(person for person in self.able if person != self.person)


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCover:
    """A line on a shift of a day: its slots and whether all of them are covered."""

    line: Line
    shift: Shift
    on: date
    slots: tuple[SlotCover, ...]
    is_covered: bool

    @property
    def short(self) -> tuple[SlotCover, ...]:
        """Return the smallest set of slots that too few people share."""
        return tuple(slot for slot in self.slots if slot.is_short)


@dataclass(frozen=True, slots=True)
class _Slot:
    station: Station
    scope: Scope


def covers_of(*, lines: Iterable[Line], shift: Shift, on: date, known: datetime | None = None) -> list[LineCover]:
    """Return each line's cover on one shift. A fixed number of queries for any number of lines.

    Judged among the people rostered for the shift at the line (or at no particular line) who are not away.
    """
    lines = list(lines)
    if not lines:
        return []
    frame = frame_of(lines[0].plant)
    slots = _slots_by_line(lines)
    people = _rostered(lines, shift, on)
    everyone = {person.pk: person for found in people.values() for person in found}
    tasks = {slot.station.task.code for found in slots.values() for slot in found}
    timelines = timelines_of(people=everyone, tasks=tasks, known=known)
    training = _training(lines, shift, on)
    return [
        _line_cover(
            _LineFacts(line, shift, on, slots[line.pk], people[line.pk], training[line.pk]), timelines, frame, everyone
        )
        for line in lines
    ]


@dataclass(frozen=True, slots=True)
class _LineFacts:
    line: Line
    shift: Shift
    on: date
    slots: list[_Slot]
    people: list[Person]
    training: list[Assignment]


def _slots_by_line(lines: Iterable[Line]) -> Mapping[int, list[_Slot]]:
    stations = (
        Station.objects.filter(line__in=lines).select_related("task", "line", "machine").order_by("line", "task__code")
    )
    slots: dict[int, list[_Slot]] = defaultdict(list)
    for station in stations:
        slots[station.line_id] += [_Slot(station, _scope_of(station))] * station.needed
    return slots


def _scope_of(station: Station) -> Scope:
    kind = station.task.scope_kind
    if kind == ScopeKind.SITE:
        return Scope()
    machine = station.machine.code if station.machine and kind == ScopeKind.MACHINE else ""
    return Scope(station.line.code, machine)


def _rostered(lines: Iterable[Line], shift: Shift, on: date) -> Mapping[int, list[Person]]:
    away = Absence.objects.filter(from_on__lte=on, until_on__gte=on).values("person")
    rows = (
        RosterDay.objects.filter(Q(line__in=lines) | Q(line=None), on=on, shift=shift)
        .exclude(person__in=away)
        .select_related("person")
        .order_by("person__name")
    )
    people: dict[int, list[Person]] = defaultdict(list)
    for row in rows:
        for line_id in [row.line_id] if row.line_id else [line.pk for line in lines]:
            people[line_id].append(row.person)
    return people


def _training(lines: Iterable[Line], shift: Shift, on: date) -> Mapping[int, list[Assignment]]:
    rows = Assignment.objects.filter(line__in=lines, on=on, shift=shift).exclude(state=Assignment.State.DROPPED)
    training: dict[int, list[Assignment]] = defaultdict(list)
    for row in rows.select_related("person", "trainer", "task").order_by("pk"):
        training[row.line_id or 0].append(row)
    return training


def _line_cover(
    facts: _LineFacts,
    timelines: Mapping[tuple[int, str, Scope], Timeline],
    frame: Frame,
    everyone: Mapping[int, Person],
) -> LineCover:
    trainees = {row.person_id for row in facts.training}
    judged = [
        {
            person.pk: covers_shift(timeline, frame.shifts[facts.shift.name], facts.on, frame)
            for person in facts.people
            if (timeline := timelines.get((person.pk, slot.station.task.code, slot.scope))) is not None
        }
        for slot in facts.slots
    ]
    fixed = _fixed(facts, judged)
    # Whoever trains somebody is with the trainee, and a trainee never makes cover.
    busy = trainees | {row.trainer_id for row in facts.training}
    able = [[pk for pk, (counts, _) in verdicts.items() if counts and pk not in busy] for verdicts in judged]
    staffing = staff(able, fixed={slot: row.trainer_id for slot, row in fixed.items()})
    return LineCover(
        line=facts.line,
        shift=facts.shift,
        on=facts.on,
        slots=tuple(
            _slot_cover(index, slot, (able[index], judged[index]), staffing, fixed, everyone)
            for index, slot in enumerate(facts.slots)
        ),
        is_covered=staffing.is_covered,
    )


def _fixed(facts: _LineFacts, judged: list[dict[int, tuple[bool, tuple[Reason, ...]]]]) -> dict[int, Assignment]:
    """Return the slots that are held by a trainer with a trainee (R9.3)."""
    fixed: dict[int, Assignment] = {}
    placed: set[int] = set()
    for row in facts.training:
        for index, slot in enumerate(facts.slots):
            counts, _reasons = judged[index].get(row.trainer_id, (False, ()))
            if slot.station.task_id == row.task_id and counts and index not in fixed and row.trainer_id not in placed:
                fixed[index] = row
                placed.add(row.trainer_id)
                break
    return fixed


def _slot_cover(
    index: int,
    slot: _Slot,
    found: tuple[list[int], dict[int, tuple[bool, tuple[Reason, ...]]]],
    staffing: Staffing,
    fixed: Mapping[int, Assignment],
    everyone: Mapping[int, Person],
) -> SlotCover:
    able, judged = found
    person = staffing.placed.get(index)
    return SlotCover(
        station=slot.station,
        scope=slot.scope,
        person=everyone.get(person) if person is not None else None,
        able=tuple(everyone[pk] for pk in able),
        barred=tuple((everyone[pk], reasons) for pk, (counts, reasons) in judged.items() if not counts),
        trainee=fixed[index].person if index in fixed else None,
        is_short=index in staffing.short,
    )
