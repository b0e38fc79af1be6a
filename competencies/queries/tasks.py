"""The plant's tasks as a list, and one task in full."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Q

from competencies.models import Person, Plant, StandingPeriod, Task, TaskRevision
from competencies.queries.frame import frame_of
from competencies.queries.standing import Held, standings_at
from competencies.standing.framework import Policy, Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRow:
    """A task with what it asks now, and how many people count for it."""

    task: Task
    terms: Terms
    holders: int


def tasks_by_area(plant: Plant, *, now: datetime, on: date) -> Mapping[str, list[TaskRow]]:
    """Return the plant's tasks by area title. Three queries while the frame stays as it is."""
    frame = frame_of(plant)
    open_now = Q(starts_at=None) | Q(starts_at__lte=now), Q(ends_at=None) | Q(ends_at__gt=now)
    rows = StandingPeriod.objects.filter(*open_now, task__plant=plant, known_to=None, counts=True)
    holders = dict(rows.values_list("task").annotate(people=Count("person", distinct=True)))
    areas: dict[str, list[TaskRow]] = defaultdict(list)
    for task in Task.objects.filter(plant=plant).select_related("area").order_by("area__title", "code"):
        found = TaskRow(task=task, terms=frame.tasks[task.code].terms_on(on), holders=holders.get(task.pk, 0))
        areas[task.area.title].append(found)
    return dict(areas)


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskPage:
    """A task in full on a day: what it asks, its revisions, who counts for it and who learns it."""

    terms: Terms
    policy: Policy
    current: TaskRevision | None
    coming: Sequence[TaskRevision]
    past: Sequence[TaskRevision]
    holders: Sequence[tuple[Person, Held]]
    learners: Sequence[tuple[Person, Held]]

    @property
    def issues(self) -> int:
        """Return how many revisions there are, coming ones too."""
        return len(self.coming) + len(self.past) + (self.current is not None)


def task_page(task: Task, *, moment: datetime, on: date, known: datetime | None = None) -> TaskPage:
    """Return the page of a task at a moment of the day `on`, as known (None: all of it). Fixed queries."""
    frame = frame_of(task.plant)
    revisions = list(
        TaskRevision.objects.filter(task=task)
        .select_related("approved_by", "second_approved_by")
        .prefetch_related("criteria", "readings")
        .order_by("-number")
    )
    effective = [each for each in revisions if each.effective_on <= on]
    people = {
        row.pk: row
        for row in Person.objects.filter(plant=task.plant_id, standing_periods__task=task).employed(on).distinct()
    }
    held = standings_at(people=set(people), moment=moment, known=known, tasks=[task.code])
    named = sorted(((people[each.person_id], each) for each in held), key=lambda pair: pair[0].name)
    return TaskPage(
        terms=frame.tasks[task.code].terms_on(on),
        policy=frame.policy_on(on),
        current=effective[0] if effective else None,
        coming=[each for each in revisions if each.effective_on > on],
        past=effective[1:],
        holders=[pair for pair in named if pair[1].period.counts],
        learners=[pair for pair in named if not pair[1].period.counts],
    )
