"""Who starts, what of the induction is due, done or late, and which tasks come before any other run."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import QuerySet

from competencies.models import Authority, InductionIssue, InductionTask, Person, Plant, Task
from competencies.queries.standing import standings_at
from competencies.vocabulary import Standing

FIRST_DAYS: Final = 90
DAYS_AHEAD: Final = 30
HELD: Final = frozenset({Standing.IN_FORCE, Standing.RENEWAL_DUE, Standing.IN_GRACE})
Place = tuple[int | None, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A task of somebody's induction: when it is due, and whether it is in force now, wherever that is."""

    task: Task
    due_on: date
    is_gate: bool
    is_done: bool

    def is_late(self, on: date) -> bool:
        """Whether it was due before the day and is not done."""
        return not self.is_done and self.due_on < on


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A person's first days: every step, the soonest due first."""

    person: Person
    steps: Sequence[Step]
    on: date

    @property
    def done(self) -> int:
        """Return how many steps are done."""
        return sum(step.is_done for step in self.steps)

    @property
    def late(self) -> Sequence[Step]:
        """Return what was due before today and is not done."""
        return [step for step in self.steps if step.is_late(self.on)]

    @property
    def next(self) -> Step | None:
        """Return what comes next: a gate before the rest, then the soonest due."""
        left = [step for step in self.steps if not step.is_done]
        return min(left, key=lambda step: (not step.is_gate, step.due_on, step.task.code), default=None)

    @property
    def gates(self) -> Sequence[Step]:
        """Return what still comes before any other task."""
        return [step for step in self.steps if step.is_gate and not step.is_done]

    @property
    def last_day(self) -> date:
        """Return the last of the first 90 days."""
        return self.person.started_on + timedelta(days=FIRST_DAYS - 1)


def issues_in_force(plant: Plant, *, on: date) -> list[InductionIssue]:
    """Return for each area and role the issue that serves who starts on the day. Two queries."""
    return list(_serving(_issues(plant), on).values())


def _issues(plant: Plant) -> list[InductionIssue]:
    rows = InductionIssue.objects.filter(plant=plant).select_related("area").prefetch_related("tasks__task")
    return list(rows.order_by("from_on", "pk"))


def _serving(issues: Iterable[InductionIssue], on: date) -> Mapping[Place, InductionIssue]:
    """Return the newest issue for each area and role that serves a starter of the day; `issues` are oldest first."""
    return {(issue.area_id, issue.role): issue for issue in issues if issue.from_on <= on}


def starters(plant: Plant, *, on: date) -> QuerySet[Person]:
    """Return who is in the first 90 days, or starts within a month; the newest first."""
    first, last = on - timedelta(days=FIRST_DAYS - 1), on + timedelta(days=DAYS_AHEAD)
    rows = Person.objects.single().filter(plant=plant, started_on__gte=first, started_on__lte=last)
    return rows.exclude(last_day__lt=on).select_related("area", "crew", "plant").order_by("-started_on", "name")


def starts_of(people: Collection[Person], *, on: date, now: datetime) -> list[Start]:
    """Return the induction of some people of one plant. At most five queries for any number."""
    if not people:
        return []
    issues = _issues(next(iter(people)).plant)
    if not issues:
        return [Start(person=person, steps=(), on=on) for person in people]
    held = Authority.objects.in_force(on).filter(person__in=people).values_list("person_id", "kind")
    roles: dict[int, set[str]] = {person.pk: {""} for person in people}
    for number, kind in held:
        roles[number].add(kind)
    found = standings_at(people=[person.pk for person in people], moment=now)
    done = {(each.person_id, each.task_code) for each in found if each.period.standing in HELD}
    return [
        Start(person=person, steps=_steps(person, _serving(issues, person.started_on), roles[person.pk], done), on=on)
        for person in people
    ]


def _steps(
    person: Person, serving: Mapping[Place, InductionIssue], roles: Collection[str], done: Collection[tuple[int, str]]
) -> Sequence[Step]:
    """Return the steps of every set that the person comes under: one that several name is due when the first asks."""
    wanted: dict[int, list[InductionTask]] = {}
    for (area_id, role), issue in serving.items():
        if role in roles and area_id in {None, person.area_id}:
            for row in issue.tasks.all():
                wanted.setdefault(row.task_id, []).append(row)
    steps = [
        Step(
            task=rows[0].task,
            due_on=person.started_on + timedelta(days=min(row.due_days for row in rows)),
            is_gate=any(row.is_gate for row in rows),
            is_done=(person.pk, rows[0].task.code) in done,
        )
        for rows in wanted.values()
    ]
    return sorted(steps, key=lambda step: (step.due_on, step.task.code))


def gates_before(people: Collection[Person], *, on: date, now: datetime) -> Mapping[int, Start]:
    """Return, by number, who still has something to do before any run of a task outside their induction."""
    return {start.person.pk: start for start in starts_of(people, on=on, now=now) if start.gates}


def comes_too_early(start: Start, task: Task) -> bool:
    """Whether a task is not of somebody's induction and a gate of it is not done."""
    return task.pk not in {step.task.pk for step in start.steps}
