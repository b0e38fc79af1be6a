"""What stands in a person's calendar: floor tasks asked for, and the last valid days of what they hold."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Q

from competencies.models import Assignment, CalendarAddress, Person, Task
from competencies.queries.frame import frame_of
from competencies.queries.standing import standings_at
from competencies.standing.calendar import clock_of
from competencies.standing.facts import Scope

PAST_DAYS: Final = 31
AHEAD_DAYS: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A floor task that the person is asked for, from the start to the end of its shift."""

    number: int
    task: Task
    place: str
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A sign-off and its last valid day."""

    task: Task
    scope: Scope
    last_valid_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarPage:
    """Everything in a person's calendar, in the plant's zone."""

    person: Person
    asked: Sequence[Asked]
    due: Sequence[Due]


def calendar_owner(digest: str) -> Person | None:
    """Return whose calendar a secret opens; nobody's where it was revoked or the person's record was joined."""
    found = CalendarAddress.objects.select_related("person__plant").filter(digest=digest, person__joined_into=None)
    address = found.first()
    return address.person if address else None


def calendar_of(person: Person, *, now: datetime, on: date) -> CalendarPage:
    """Return a person's calendar at a moment of the day `on`. A fixed number of queries."""
    return CalendarPage(person=person, asked=list(_asked(person, on)), due=list(_due(person, now)))


def _asked(person: Person, on: date) -> Iterator[Asked]:
    frame, clock = frame_of(person.plant), clock_of(person.plant.timezone)
    near = Q(on__gte=on - timedelta(days=PAST_DAYS), on__lte=on + timedelta(days=AHEAD_DAYS))
    rows = Assignment.objects.filter(near, person=person, plant=person.plant).exclude(state=Assignment.State.DROPPED)
    for row in rows.select_related("task", "shift", "line", "machine").order_by("on", "shift__starts", "task__code"):
        start, end = clock.shift_bounds(frame.shifts[row.shift.name], row.on)
        place = ", ".join(each.title for each in (row.line, row.machine) if each)
        yield Asked(number=row.pk, task=row.task, place=place, start=start, end=end)


def _due(person: Person, now: datetime) -> Iterator[Due]:
    tasks = {task.code: task for task in Task.objects.filter(plant=person.plant)}
    for held in standings_at(people=[person.pk], moment=now):
        last = held.period.last_valid_on
        if last is not None and held.period.counts and held.task_code in tasks:
            yield Due(task=tasks[held.task_code], scope=held.scope, last_valid_on=last)
