"""Who is rostered at a line on a shift, who learns there, and the hours that people have behind them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import TypeAlias

from django.db.models import Exists, F, OuterRef, Q

from competencies.models import Absence, Assignment, Line, Person, RosterDay, Shift
from competencies.standing.calendar import clock_of
from competencies.standing.framework import Frame
from competencies.standing.hours import Duty, duty_on

# So far back it is counted how many days somebody has been at work without a day off.
LOOK_BACK_DAYS = 28


# A shift of a day: the day it starts on, and the shift's key.
Turn: TypeAlias = tuple[date, int]


def rostered(
    lines: Iterable[Line], shifts: Collection[Shift], days: Collection[date], *, known: datetime | None = None
) -> Mapping[tuple[Turn, int], list[Person]]:
    """Return by shift and line who is rostered there, or at no line in particular, and not away. One query.

    A record that was joined to another worked its shifts as that one, by what was `known` (None: now).
    """
    lines = list(lines)
    away = Absence.objects.filter(person=OuterRef("person"), from_on__lte=OuterRef("on"), until_on__gte=OuterRef("on"))
    rows = (
        RosterDay.objects.filter(Q(line__in=lines) | Q(line=None), on__in=days, shift__in=shifts)
        .exclude(Exists(away))
        .select_related("person__joined_into")
        .order_by("person__name", "person__works_number")
    )
    people: dict[tuple[Turn, int], list[Person]] = defaultdict(list)
    for row in rows:
        for line_id in [row.line_id] if row.line_id else [line.pk for line in lines]:
            person = _by_then(row.person, known)
            there = people[(row.on, row.shift_id), line_id]
            if person not in there:
                there.append(person)
    return people


def _by_then(person: Person, known: datetime | None) -> Person:
    """Return the one person that a record was known to be."""
    while person.joined_into is not None and _is_known(person.joined_at, known):
        person = person.joined_into
    return person


def _is_known(moment: datetime | None, known: datetime | None) -> bool:
    return moment is not None and (known is None or moment <= known)


def lessons_on(shifts: Collection[Shift], days: Collection[date]) -> Mapping[Turn, Mapping[int, list[Assignment]]]:
    """Return by shift and line, for every line of the plant, who learns what under whom. One query."""
    rows = Assignment.objects.filter(line__isnull=False, on__in=days, shift__in=shifts)
    rows = rows.exclude(state=Assignment.State.DROPPED).select_related("person", "trainer", "task").order_by("pk")
    lessons: dict[Turn, dict[int, list[Assignment]]] = defaultdict(lambda: defaultdict(list))
    for row in rows:
        lessons[row.on, row.shift_id][row.line_id or 0].append(row)
    return lessons


def duties_of(people: Collection[int], *, days: Collection[date], frame: Frame) -> Mapping[int, list[Duty]]:
    """Return by person what they are rostered for up to the days and the day after, four weeks back. One query.

    Days on which they are away are left out.
    """
    first, last, clock = min(days), max(days), clock_of(frame.timezone)
    policies = [frame.policy_on(day) for day in days]
    longest = max(max(policy.days_running, policy.hard_shifts_running) for policy in policies)
    back = timedelta(days=max(LOOK_BACK_DAYS, longest + 1))
    away = Q(person__absences__from_on__lte=F("on"), person__absences__until_on__gte=F("on"))
    rows = RosterDay.objects.filter(person__in=people, on__range=(first - back, last + timedelta(days=1)))
    rows = rows.exclude(pk__in=rows.filter(away).values("pk")).order_by("on")
    found: dict[int, list[Duty]] = defaultdict(list)
    for person, day, name, overtime in rows.values_list("person_id", "on", "shift__name", "overtime_minutes"):
        found[person].append(duty_on(frame.shifts[name], day, clock, overtime_minutes=overtime))
    return found
