"""Who works which line beyond the roster: the crews as the roster of the last weeks had them, with all that is known.

A roster is made a few weeks ahead. After it, each crew is taken to stay at the lines and on the shifts at which it was
rostered; a person without a crew is left out, except where a line has nobody else.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.models import Absence, Assignment, Crew, Line, Person, Plant, RosterDay, Shift
from competencies.queries.cover_rules import LineRules, declared_of, rules_at
from competencies.queries.cover_slots import StationSlot, slots_by_line
from competencies.queries.frame import frame_of
from competencies.queries.standing import timelines_of
from competencies.standing.ahead import Days, Key
from competencies.standing.calendar import ONE_DAY, add_months
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.timeline import Timeline

# So far back it is looked at which lines and shifts a crew works.
LOOK_BACK_DAYS = 56
# A roster further ahead than this is a plan, and is asked of the crews like any other week.
LONGEST_ROSTER_DAYS = 27


@dataclass(frozen=True, slots=True, kw_only=True)
class Team:
    """A crew (None: the people without one) on one shift at a line."""

    crew: Crew | None
    shift: Shift
    people: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """All that is known of a plant's lines on the days to come.

    `rostered_until` is the last day that the roster is asked about (the day before `today`: there is none). `away` are
    the days that nobody can be asked to work, by person: absences, and after the last day. `planned` are the days that
    a sign-off would hold if each planned assignment ended in one on its day.
    """

    today: date
    now: datetime
    rostered_until: date
    frame: Frame
    lines: Sequence[Line]
    shifts: Sequence[Shift]
    slots: Mapping[int, Sequence[StationSlot]]
    rules: Mapping[int, LineRules]
    teams: Mapping[int, Sequence[Team]]
    people: Mapping[int, Person]
    timelines: Mapping[Key, Timeline]
    away: Mapping[int, Sequence[Days]]
    planned: Mapping[Key, Sequence[Days]]


def ahead_of(plant: Plant, lines: Sequence[Line], *, today: date, now: datetime) -> Ahead:
    """Return what is known of some lines on the days to come. A fixed number of queries for any number of anything."""
    frame = frame_of(plant)
    shifts = list(Shift.objects.filter(plant=plant).order_by("starts"))
    slots = slots_by_line(lines)
    teams, people, last = _teams(plant, lines, shifts, today)
    tasks = {slot.station.task.code for found in slots.values() for slot in found}
    return Ahead(
        today=today,
        now=now,
        rostered_until=min(last, today + timedelta(days=LONGEST_ROSTER_DAYS)),
        frame=frame,
        lines=lines,
        shifts=shifts,
        slots=slots,
        rules=rules_at(lines, declared_of(lines), at=now),
        teams=teams,
        people=people,
        timelines=timelines_of(people=people, tasks=with_prerequisites(frame, tasks), since=now),
        away=_away(people, today),
        planned=_planned(people, frame, today),
    )


def with_prerequisites(frame: Frame, codes: Iterable[str]) -> set[str]:
    """Return tasks with all that they build on, directly or through others, under any of their terms."""
    found: set[str] = set()
    waiting = list(codes)
    while waiting:
        code = waiting.pop()
        if code in frame.tasks and code not in found:
            found.add(code)
            waiting += [below for terms in frame.tasks[code].terms for below in terms.prerequisites]
    return found


def _teams(
    plant: Plant, lines: Sequence[Line], shifts: Sequence[Shift], today: date
) -> tuple[Mapping[int, Sequence[Team]], Mapping[int, Person], date]:
    rows = RosterDay.objects.filter(
        person__in=Person.objects.filter(plant=plant).employed(today), on__gte=today - timedelta(days=LOOK_BACK_DAYS)
    )
    worked = list(rows.values_list("person_id", "shift_id", "line_id").distinct())
    last = rows.order_by("-on").values_list("on", flat=True).first()
    people = Person.objects.select_related("crew").in_bulk({person for person, _shift, _line in worked})
    at_line: dict[tuple[int, int | None], tuple[set[int], set[int]]] = defaultdict(lambda: (set(), set()))
    for number, shift, at in worked:
        for line_id in [at] if at else [each.pk for each in lines]:
            there, on_shifts = at_line[line_id, people[number].crew_id]
            there.add(number)
            on_shifts.add(shift)
    teams: dict[int, list[Team]] = {line.pk: [] for line in lines}
    crews = {person.crew_id: person.crew for person in people.values()}
    for crew_id, crew in sorted(crews.items(), key=lambda item: item[1].code if item[1] else "~"):
        for line in lines:
            there, on_shifts = at_line.get((line.pk, crew_id), (set(), set()))
            # The people without a crew come last, and only where no crew works the line.
            if crew is not None or not teams[line.pk]:
                teams[line.pk] += [
                    Team(crew=crew, shift=shift, people=tuple(sorted(there)))
                    for shift in shifts
                    if shift.pk in on_shifts
                ]
    return teams, people, max(last, today - ONE_DAY) if last else today - ONE_DAY


def _away(people: Mapping[int, Person], today: date) -> Mapping[int, Sequence[Days]]:
    found: dict[int, list[Days]] = defaultdict(list)
    rows = Absence.objects.filter(person__in=people, until_on__gte=today)
    for number, from_on, until_on in rows.values_list("person_id", "from_on", "until_on"):
        found[number].append(Days(from_on, until_on))
    for person in people.values():
        if person.last_day is not None:
            found[person.pk].append(Days(person.last_day + ONE_DAY, date.max))
    return found


def _planned(people: Collection[int], frame: Frame, today: date) -> Mapping[Key, Sequence[Days]]:
    rows = Assignment.objects.filter(person__in=people, on__gte=today, state=Assignment.State.PLANNED)
    found: dict[Key, list[Days]] = defaultdict(list)
    for person, code, kind, line, machine, on in rows.values_list(
        "person_id", "task__code", "task__scope_kind", "line__code", "machine__code", "on"
    ):
        scope = {"site": Scope(), "line": Scope(line or "")}.get(kind, Scope(line or "", machine or ""))
        months = frame.tasks[code].terms_on(on).validity_months
        until_on = date.max - ONE_DAY if months is None else add_months(on, months)
        found[person, code, scope].append(Days(on + ONE_DAY, until_on))
    return found
