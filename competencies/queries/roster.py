"""Who is rostered at a line on a shift, who learns there, and the hours that people have behind them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime, timedelta

from django.db.models import F, Q

from competencies.models import Absence, Assignment, Line, Person, RosterDay, Shift
from competencies.standing.calendar import clock_of
from competencies.standing.framework import Frame
from competencies.standing.hours import Duty, duty_on

# So far back it is counted how many days somebody has been at work without a day off.
LOOK_BACK_DAYS = 28


def rostered(
    lines: Iterable[Line], shift: Shift, on: date, *, known: datetime | None = None
) -> Mapping[int, list[Person]]:
    """Return by line who is rostered there, or at no line in particular, and not away. One query.

    A record that was joined to another worked its shifts as that one, by what was `known` (None: now).
    """
    lines = list(lines)
    rows = (
        RosterDay.objects.filter(Q(line__in=lines) | Q(line=None), on=on, shift=shift)
        .exclude(person__in=Absence.objects.filter(from_on__lte=on, until_on__gte=on).values("person"))
        .select_related("person__joined_into")
        .order_by("person__name", "person__works_number")
    )
    people: dict[int, list[Person]] = defaultdict(list)
    for row in rows:
        for line_id in [row.line_id] if row.line_id else [line.pk for line in lines]:
            person = _by_then(row.person, known)
            if person not in people[line_id]:
                people[line_id].append(person)
    return people


def _by_then(person: Person, known: datetime | None) -> Person:
    """Return the one person that a record was known to be."""
    while person.joined_into is not None and _is_known(person.joined_at, known):
        person = person.joined_into
    return person


def _is_known(moment: datetime | None, known: datetime | None) -> bool:
    return moment is not None and (known is None or moment <= known)


def lessons_on(shift: Shift, on: date) -> Mapping[int, list[Assignment]]:
    """Return by line, for every line of the plant, who learns what under whom on a shift. One query."""
    rows = Assignment.objects.filter(line__isnull=False, on=on, shift=shift).exclude(state=Assignment.State.DROPPED)
    lessons: dict[int, list[Assignment]] = defaultdict(list)
    for row in rows.select_related("person", "trainer", "task").order_by("pk"):
        lessons[row.line_id or 0].append(row)
    return lessons


def duties_of(people: Collection[int], *, on: date, frame: Frame) -> Mapping[int, list[Duty]]:
    """Return by person what they are rostered for up to a day and the day after, four weeks back. One query.

    Days on which they are away are left out.
    """
    policy, clock = frame.policy_on(on), clock_of(frame.timezone)
    back = max(LOOK_BACK_DAYS, policy.days_running + 1, policy.hard_shifts_running + 1)
    away = Q(person__absences__from_on__lte=F("on"), person__absences__until_on__gte=F("on"))
    rows = RosterDay.objects.filter(person__in=people, on__range=(on - timedelta(days=back), on + timedelta(days=1)))
    rows = rows.exclude(pk__in=rows.filter(away).values("pk")).order_by("on")
    found: dict[int, list[Duty]] = defaultdict(list)
    for person, day, name, overtime in rows.values_list("person_id", "on", "shift__name", "overtime_minutes"):
        found[person].append(duty_on(frame.shifts[name], day, clock, overtime_minutes=overtime))
    return found
