"""Who is rostered at a line on a shift, who learns there, and the hours that people have behind them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta

from django.db.models import F, Q

from competencies.models import Absence, Assignment, Line, Person, RosterDay, Shift
from competencies.queries.frame import shift_frame
from competencies.standing.calendar import Clock
from competencies.standing.framework import Policy
from competencies.standing.hours import Duty, duty_on


def rostered(lines: Iterable[Line], shift: Shift, on: date) -> Mapping[int, list[Person]]:
    """Return by line who is rostered there, or at no line in particular, and not away. One query."""
    lines = list(lines)
    rows = (
        RosterDay.objects.filter(Q(line__in=lines) | Q(line=None), on=on, shift=shift)
        .exclude(person__in=Absence.objects.filter(from_on__lte=on, until_on__gte=on).values("person"))
        .select_related("person")
        .order_by("person__name", "person__works_number")
    )
    people: dict[int, list[Person]] = defaultdict(list)
    for row in rows:
        for line_id in [row.line_id] if row.line_id else [line.pk for line in lines]:
            people[line_id].append(row.person)
    return people


def lessons_on(lines: Iterable[Line], shift: Shift, on: date) -> Mapping[int, list[Assignment]]:
    """Return by line who learns what under whom on a shift. One query."""
    rows = Assignment.objects.filter(line__in=lines, on=on, shift=shift).exclude(state=Assignment.State.DROPPED)
    lessons: dict[int, list[Assignment]] = defaultdict(list)
    for row in rows.select_related("person", "trainer", "task").order_by("pk"):
        lessons[row.line_id or 0].append(row)
    return lessons


def duties_of(people: Collection[int], *, on: date, policy: Policy, clock: Clock) -> Mapping[int, list[Duty]]:
    """Return by person what they are rostered for around a day, as far as the limits of hours reach. One query.

    Days on which they are away are left out.
    """
    back = max(policy.days_running, policy.hard_shifts_running, policy.nights_of_sleep) + 1
    days = (on - timedelta(days=back), on + timedelta(days=1))
    away = Q(person__absences__from_on__lte=F("on"), person__absences__until_on__gte=F("on"))
    rows = RosterDay.objects.filter(person__in=people, on__range=days)
    rows = rows.exclude(pk__in=rows.filter(away).values("pk")).select_related("shift").order_by("on")
    found: dict[int, list[Duty]] = defaultdict(list)
    for row in rows:
        found[row.person_id].append(duty_on(shift_frame(row.shift), row.on, clock))
    return found
