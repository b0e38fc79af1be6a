"""What a person may do, learns and does next: the learner's own page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.models import Assignment, Person, Task, TaskCalculation, TaskRevision
from competencies.queries.facts import rules_of
from competencies.queries.pathways import PathwayProgress, pathways_of
from competencies.queries.standing import Held, standings_at
from competencies.standing.facts import Scope
from competencies.standing.readiness import Progress
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period, Reason
from competencies.vocabulary import Standing

ON_THE_WAY = {Standing.LEARNING, Standing.READY, Standing.AWAITING_SIGNATURE, Standing.AWAITING_REVISION}
NOT_OUT = ON_THE_WAY | {Standing.NOT_STARTED}
NEAR_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTaskNow:
    """Where a person stands on a task in a scope; `progress` only where they are on the way."""

    task: Task
    scope: Scope
    period: Period
    progress: Progress | None = None

    @property
    def to_acknowledge(self) -> Reason | None:
        """Return the revision that waits to be read and acknowledged, as the rule says it."""
        codes = {"acknowledgement_due", "not_acknowledged"}
        return next((each for each in self.period.reasons if each.code in codes), None)

    @property
    def revision_to_acknowledge(self) -> int | None:
        """Return the number of that revision."""
        why = self.to_acknowledge
        return int(dict(why.params)["revision"]) if why else None


@dataclass(frozen=True, slots=True, kw_only=True)
class MyPage:
    """Everything on a learner's page, most useful first in each list."""

    alone: Sequence[OnTaskNow]
    learning: Sequence[OnTaskNow]
    out: Sequence[OnTaskNow]
    asked_today: Sequence[Assignment]
    asked_soon: Sequence[Assignment]
    pathways: Sequence[PathwayProgress]
    calculations: Sequence[str]

    @property
    def ready(self) -> Sequence[OnTaskNow]:
        """Return what waits only for an assessor."""
        return [each for each in self.learning if each.period.standing is Standing.READY]

    @property
    def due(self) -> Sequence[OnTaskNow]:
        """Return what is to be renewed soon."""
        return [each for each in self.alone if each.period.standing in {Standing.RENEWAL_DUE, Standing.IN_GRACE}]

    @property
    def to_read(self) -> Sequence[OnTaskNow]:
        """Return the tasks whose new revision waits to be read."""
        return [each for each in (*self.alone, *self.out) if each.to_acknowledge]


def my_page(person: Person, *, now: datetime, on: date) -> MyPage:
    """Return a learner's page at a moment. The number of queries does not depend on how much there is."""
    held = standings_at(people=[person.pk], moment=now)
    asked = _asked(person, on)
    tasks = {task.code: task for task in Task.objects.filter(plant=person.plant_id).select_related("area")}
    rule = rules_of([person])[person.pk]
    here = [_on_task(each, tasks[each.task_code], rule, now) for each in held if each.task_code in tasks]
    learning = [each for each in here if each.period.standing in ON_THE_WAY]
    return MyPage(
        alone=[each for each in here if each.period.counts],
        learning=sorted(learning, key=lambda each: each.period.standing is not Standing.READY),
        out=[each for each in here if not each.period.counts and each.period.standing not in NOT_OUT],
        asked_today=[each for each in asked if each.on == on],
        asked_soon=[each for each in asked if each.on > on],
        pathways=pathways_of([person], on=on),
        calculations=calculations_of({*(each.task.pk for each in learning), *(each.task_id for each in asked)}, on=on),
    )


def _asked(person: Person, on: date) -> list[Assignment]:
    return list(
        Assignment.objects.filter(
            person=person, state=Assignment.State.PLANNED, on__gte=on, on__lte=on + timedelta(days=NEAR_DAYS)
        )
        .select_related("task", "line", "machine", "shift", "trainer")
        .order_by("on", "shift__starts", "task__code")
    )


def _on_task(held: Held, task: Task, rule: PersonRule, now: datetime) -> OnTaskNow:
    is_on_the_way = held.period.standing in {Standing.LEARNING, Standing.READY}
    progress = rule.progress(task.code, held.scope, now) if is_on_the_way else None
    return OnTaskNow(task=task, scope=held.scope, period=held.period, progress=progress)


def calculations_of(tasks: Iterable[int], *, on: date) -> list[str]:
    """Return the calculations that go with tasks, by the newest terms of each. One query."""
    rows = (
        TaskCalculation.objects.filter(terms__task__in=set(tasks), terms__effective_on__lte=on)
        .order_by("terms__effective_on", "terms__recorded_at")
        .values_list("terms__task", "terms", "calculation")
    )
    newest: dict[int, tuple[int, set[str]]] = {}
    for task, terms, code in rows:
        kept = newest.get(task)
        newest[task] = (terms, kept[1] | {code}) if kept and kept[0] == terms else (terms, {code})
    return sorted(set().union(*(codes for _terms, codes in newest.values())))


def procedure_on(task: Task, on: date) -> TaskRevision | None:
    """Return the revision in force on a day, with its criteria and readings. Three queries."""
    rows = TaskRevision.objects.filter(task=task, effective_on__lte=on).order_by("-number")
    return rows.prefetch_related("criteria", "readings").first()


def progress_now(person: Person, task: Task, scope: Scope, *, now: datetime) -> tuple[PersonRule, Period, Progress]:
    """Return the rule of a person, where they stand on one task, and how far they are."""
    rule = rules_of([person])[person.pk]
    return rule, rule.timeline(task.code, scope).at(now), rule.progress(task.code, scope, now)
