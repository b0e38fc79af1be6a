"""Standing on any date, as known at any moment, read from the projected periods."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from competencies.models import Person, Plant, StandingPeriod, Task
from competencies.queries.periods import period_from
from competencies.standing.facts import Scope
from competencies.standing.timeline import Period, Timeline


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A person's standing on a task in a scope at one moment."""

    person_id: int
    task_code: str
    scope: Scope
    period: Period


def end_of_day(day: date, plant: Plant) -> datetime:
    """Return the last instant of a plant's day: what "on a date" means, since losses act from their minute."""
    midnight = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(plant.timezone))
    return midnight - timedelta(microseconds=1)


def known_rows(known: datetime | None) -> Q:
    """Return the condition that keeps the rows as known at a moment (None: now)."""
    if known is None:
        return Q(known_to=None)
    return Q(known_from__lte=known) & (Q(known_to=None) | Q(known_to__gt=known))


def standings_at(
    *, people: Collection[int], moment: datetime, known: datetime | None = None, tasks: Iterable[str] | None = None
) -> list[Held]:
    """Return where each person stands at `moment` on every task they ever touched. One query.

    A (person, task, scope) without an entry is not in the list: not started.
    """
    rows = (
        StandingPeriod.objects.filter(known_rows(known), person__in=people)
        .filter(Q(starts_at=None) | Q(starts_at__lte=moment), Q(ends_at=None) | Q(ends_at__gt=moment))
        .select_related("task")
        .order_by("person_id", "task__code", "scope")
    )
    if tasks is not None:
        rows = rows.filter(task__code__in=tasks)
    return [
        Held(person_id=row.person_id, task_code=row.task.code, scope=Scope.parse(row.scope), period=period_from(row))
        for row in rows
    ]


def timelines_of(
    *, people: Collection[int], tasks: Iterable[str], known: datetime | None = None, since: datetime | None = None
) -> Mapping[tuple[int, str, Scope], Timeline]:
    """Return the projected timelines of people on tasks, by person, task and scope. One query.

    Where only what comes is asked about, `since` leaves out the periods that ended before.
    """
    rows = (
        StandingPeriod.objects.filter(known_rows(known), person__in=people, task__code__in=tasks)
        .select_related("task", "person")
        .order_by("starts_at")
    )
    if since is not None:
        rows = rows.filter(Q(ends_at=None) | Q(ends_at__gt=since))
    periods: dict[tuple[int, str, Scope], list[Period]] = {}
    restricted_until: dict[int, date | None] = {}
    for row in rows:
        restricted_until[row.person_id] = row.person.restricted_until
        periods.setdefault((row.person_id, row.task.code, Scope.parse(row.scope)), []).append(period_from(row))
    return {
        key: Timeline(
            person=key[0],
            task=key[1],
            scope=key[2],
            periods=tuple(sorted(found, key=lambda period: (period.start is not None, period.start))),
            restricted_until=restricted_until[key[0]],
        )
        for key, found in periods.items()
    }


def holders_of(task: Task, *, moment: datetime) -> list[Held]:
    """Return everyone who counts for a task at `moment`, by scope. Two queries."""
    people = Person.objects.filter(plant=task.plant_id, standing_periods__task=task).values_list("pk", flat=True)
    found = standings_at(people=set(people), moment=moment, tasks=[task.code])
    return [held for held in found if held.period.counts]
