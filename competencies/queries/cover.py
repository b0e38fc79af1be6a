"""Is a line covered on a shift, by whom, until when, and what is short (R9)."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from competencies.models import Assignment, Line, Person, Shift
from competencies.queries.cover_rules import LineRules, declared_of, rules_at
from competencies.queries.cover_slots import StationSlot, slots_by_line
from competencies.queries.frame import frame_of
from competencies.queries.line_cover import Barred, LineCover, SlotCover, StationDepth
from competencies.queries.roster import Turn, duties_of, lessons_on, rostered
from competencies.queries.standing import timelines_of
from competencies.standing.ahead import Missing
from competencies.standing.calendar import Clock, clock_of
from competencies.standing.cover import ShiftVerdict, judge_shift
from competencies.standing.depth import depths_of
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.hours import Duty, hours_warnings
from competencies.standing.placing import Needs
from competencies.standing.staffing import Staffing, needs_of, staff_needs
from competencies.standing.supervising import Lesson, Supervision, supervise
from competencies.standing.timeline import Reason, Timeline


@dataclass(frozen=True, slots=True)
class _ShiftFacts:
    """What is the same for every line of a shift."""

    shift: Shift
    on: date
    frame: Frame
    clock: Clock
    timelines: Mapping[tuple[int, str, Scope], Timeline]
    duties: Mapping[int, list[Duty]]

    @property
    def bounds(self) -> tuple[datetime, datetime]:
        return self.clock.shift_bounds(self.frame.shifts[self.shift.name], self.on)

    @property
    def blocks_the_tired(self) -> bool:
        return self.frame.policy_on(self.on).tired_is_no_cover

    def warnings(self, person: int, *, safety_critical: bool) -> tuple[Reason, ...]:
        duties = self.duties.get(person, ())
        here = next((duty for duty in duties if duty.start == self.bounds[0]), None)
        if here is None:
            return ()
        policy = self.frame.policy_on(self.on)
        return hours_warnings(duties, here, policy=policy, clock=self.clock, safety_critical=safety_critical)


@dataclass(frozen=True, slots=True)
class _LineFacts:
    line: Line
    slots: Sequence[StationSlot]
    people: Sequence[Person]
    lessons: Sequence[Assignment]
    rules: LineRules
    busy: Collection[int]


def covers_of(
    *,
    lines: Iterable[Line],
    shift: Shift,
    on: date,
    known: datetime | None = None,
    without: Collection[int] = (),
) -> list[LineCover]:
    """Return each line's cover on one shift. A fixed number of queries for any number of lines.

    `without` are people taken to be missing.
    """
    missing = [Missing(person) for person in without]
    return covers_over(lines=lines, shifts=[shift], days=[on], known=known, missing=missing)[on, shift.pk]


def covers_over(
    *,
    lines: Iterable[Line],
    shifts: Collection[Shift],
    days: Collection[date],
    known: datetime | None = None,
    missing: Collection[Missing] = (),
) -> Mapping[Turn, list[LineCover]]:
    """Return each line's cover on every shift of some days. A fixed number of queries for any number of either.

    Judged among the people rostered for the shift at the line (or at no particular line) who are not away, and as if
    those `missing` were away too. What is declared of a line holds from the first shift that starts after it was.
    """
    lines = list(lines)
    turns = [(day, shift) for day in days for shift in shifts]
    if not lines or not turns:
        return {(day, shift.pk): [] for day, shift in turns}
    frame = frame_of(lines[0].plant)
    clock = clock_of(frame.timezone)
    slots = slots_by_line(lines)
    people = {
        (turn, line): [person for person in found if not any(each.is_out(person.pk, turn[0]) for each in missing)]
        for (turn, line), found in rostered(lines, shifts, days, known=known).items()
    }
    everyone = {person.pk for found in people.values() for person in found}
    tasks = {slot.station.task.code for found in slots.values() for slot in found}
    since = min(clock.shift_bounds(frame.shifts[shift.name], day)[0] for day, shift in turns)
    timelines = timelines_of(people=everyone, tasks=tasks, known=known, since=since)
    duties = duties_of(everyone, days=days, frame=frame)
    lessons, declared = lessons_on(shifts, days), declared_of(lines)
    found: dict[Turn, list[LineCover]] = {}
    for day, shift in turns:
        facts = _ShiftFacts(shift, day, frame, clock, timelines, duties)
        start = facts.bounds[0]
        rules = rules_at(lines, declared, at=min(start, known) if known else start)
        here = lessons.get((day, shift.pk), {})
        # Whoever trains somebody is with the trainee, and a trainee never makes cover, on whichever line that is.
        busy = {number for rows in here.values() for row in rows for number in (row.person_id, row.trainer_id)}
        found[day, shift.pk] = [
            _line_cover(
                _LineFacts(
                    line,
                    slots[line.pk],
                    people.get(((day, shift.pk), line.pk), ()),
                    here.get(line.pk, ()),
                    rules[line.pk],
                    busy,
                ),
                facts,
            )
            for line in lines
        ]
    return found


def station_depths(cover: LineCover) -> list[StationDepth]:
    """Return for each station of a line how many absences it survives, and the people it hangs on (R9.6)."""
    by_station: dict[int, list[int]] = defaultdict(list)
    for index, slot in enumerate(cover.slots):
        by_station[slot.station.pk].append(index)
    people = {person.pk: person for slot in cover.slots for person in (*slot.able, slot.person) if person}
    depths = depths_of(cover.needs, list(by_station.values()))
    return [
        StationDepth(
            station=cover.slots[indexes[0]].station,
            depth=depth,
            hangs_on=tuple(people[number] for number in depth.hangs_on),
        )
        for indexes, depth in zip(by_station.values(), depths, strict=True)
    ]


Verdicts = Sequence[Mapping[int, ShiftVerdict]]


def _line_cover(line: _LineFacts, facts: _ShiftFacts) -> LineCover:
    verdicts = [_verdicts(slot, line.people, facts) for slot in line.slots]
    start, end = facts.bounds
    lost = {verdict.until for found in verdicts for verdict in found.values() if start < verdict.until < end}
    wanted = line.rules.relief_wanted
    steps = []
    for since in sorted({start, *lost}):
        supervision, needs = _needs_at(line, verdicts, since)
        staffing = staff_needs(needs, relief_wanted=wanted)
        steps.append((since, staffing.is_covered and not (wanted and staffing.unrelieved)))
    # The last step is the line at the end of the shift: those who count throughout.
    return LineCover(
        line=line.line,
        shift=facts.shift,
        on=facts.on,
        start=start,
        end=end,
        slots=_slot_covers(line, facts, verdicts, supervision, (needs, staffing)),
        is_covered=all(is_covered for _since, is_covered in steps),
        steps=tuple(steps),
        rules=line.rules,
        loose=_loose(line, supervision),
        hours=_hours(line, facts),
        people=tuple(line.people),
        busy=line.busy,
        needs=needs,
    )


def _verdicts(slot: StationSlot, people: Sequence[Person], facts: _ShiftFacts) -> Mapping[int, ShiftVerdict]:
    """Return how far each person who ever touched the task counts at a slot."""
    found = {}
    for person in people:
        timeline = facts.timelines.get((person.pk, slot.station.task.code, slot.scope))
        if timeline is not None:
            verdict = judge_shift(timeline, facts.frame.shifts[facts.shift.name], facts.on, facts.frame)
            found[person.pk] = _unless_tired(verdict, person.pk, slot, facts)
    return found


def _unless_tired(verdict: ShiftVerdict, person: int, slot: StationSlot, facts: _ShiftFacts) -> ShiftVerdict:
    """Let nobody count at safety-critical work against a limit of hours, where the plant's setting says so (R9.5)."""
    if not (facts.blocks_the_tired and slot.is_safety_critical):
        return verdict
    warnings = facts.warnings(person, safety_critical=True)
    if not warnings:
        return verdict
    return ShiftVerdict(
        until=facts.bounds[0],
        counts=False,
        last_valid_on=verdict.last_valid_on,
        reasons=(*verdict.reasons, *warnings),
        way_back=verdict.way_back,
    )


def _needs_at(line: _LineFacts, verdicts: Verdicts, moment: datetime) -> tuple[Supervision, Needs]:
    """Return what the line needs at a moment of the shift, with the slots settled that are held with a trainee."""
    able = [[person for person, verdict in found.items() if verdict.until > moment] for found in verdicts]
    supervision = supervise(
        [slot.as_asked() for slot in line.slots],
        able,
        [
            Lesson(trainee=row.person_id, trainer=row.trainer_id, task=row.task.code, machine=row.machine_id)
            for row in line.lessons
        ],
        neighbours=line.rules.neighbours,
    )
    free = [[person for person in found if person not in line.busy] for found in able]
    pairs = [
        (one, other)
        for one, slot in enumerate(line.slots)
        for other in range(one + 1, len(line.slots))
        if line.rules.may_share(slot.station.pk, line.slots[other].station.pk)
    ]
    return supervision, needs_of(free, fixed=supervision.fixed, combinable=pairs)


def _slot_covers(
    line: _LineFacts,
    facts: _ShiftFacts,
    verdicts: Verdicts,
    supervision: Supervision,
    staffed: tuple[Needs, Staffing],
) -> tuple[SlotCover, ...]:
    needs, staffing = staffed
    names = {person.pk: person for person in line.people}
    trainees = {row.person_id: row.person for row in line.lessons}
    found = []
    for index, slot in enumerate(line.slots):
        number = staffing.placed.get(index)
        lesson = supervision.lessons.get(index)
        found.append(
            SlotCover(
                station=slot.station,
                scope=slot.scope,
                part=line.rules.parts.get(slot.station.pk),
                person=names.get(number) if number is not None else None,
                able=tuple(names[able] for able in needs.able[index]),
                relief=tuple(names[free] for free in staffing.relief[index]),
                barred=_barred(verdicts[index], names, facts.bounds[0]),
                trainee=trainees[lesson.trainee] if lesson else None,
                is_short=index in staffing.short,
                last_valid_on=verdicts[index][number].last_valid_on if number is not None else None,
                warnings=_warnings(number, slot, facts),
            )
        )
    return tuple(found)


def _warnings(person: int | None, slot: StationSlot, facts: _ShiftFacts) -> tuple[Reason, ...]:
    return () if person is None else facts.warnings(person, safety_critical=slot.is_safety_critical)


def _barred(verdicts: Mapping[int, ShiftVerdict], names: Mapping[int, Person], start: datetime) -> tuple[Barred, ...]:
    return tuple(
        Barred(
            person=names[number],
            reasons=verdict.reasons,
            way_back=verdict.way_back,
            until=verdict.until if verdict.until > start else None,
        )
        for number, verdict in verdicts.items()
        if not verdict.counts
    )


def _loose(line: _LineFacts, supervision: Supervision) -> tuple[Assignment, ...]:
    loose = {(lesson.trainee, lesson.trainer, lesson.task) for lesson in supervision.loose}
    return tuple(row for row in line.lessons if (row.person_id, row.trainer_id, row.task.code) in loose)


def _hours(line: _LineFacts, facts: _ShiftFacts) -> tuple[tuple[Person, tuple[Reason, ...]], ...]:
    found = [(person, facts.warnings(person.pk, safety_critical=False)) for person in line.people]
    return tuple((person, warnings) for person, warnings in found if warnings)
