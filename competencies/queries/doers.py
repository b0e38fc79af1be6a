"""Who may do each step of a way back, and which people hold that today."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from django.db.models import Q

from competencies.models import Authority, Person, StandingPeriod, Task
from competencies.standing.facts import Scope
from competencies.standing.timeline import Step
from competencies.vocabulary import AuthorityKind, Criticality, SecondRole, Standing

# More names than this say less than the name of the role.
MOST_NAMES: Final = 6
SIGNS: Final = {SecondRole.FOOD: AuthorityKind.SIGN_FOOD, SecondRole.SAFETY: AuthorityKind.SIGN_SAFETY}
STOPPING: Final = frozenset({AuthorityKind.SUPERVISE, AuthorityKind.COORDINATE, AuthorityKind.ASSESS, *SIGNS.values()})
JUDGING: Final = frozenset({"assessment", "delta", "reverification"})
# Who watches or judges holds the task and is not in grace (R1.1, R2.2).
TEACHES: Final = (Standing.IN_FORCE, Standing.RENEWAL_DUE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doable:
    """A step with the people who may do it today; `more` counts those who are not named."""

    step: Step
    names: Sequence[str]
    more: int
    is_own: bool


@dataclass(frozen=True, slots=True)
class _Today:
    holders: Mapping[tuple[str, Scope], frozenset[int]]
    grants: Mapping[int, Sequence[tuple[AuthorityKind, int | None]]]
    names: Mapping[int, str]

    def entrusted(self, kinds: frozenset[AuthorityKind], area: int) -> set[int]:
        return {
            person
            for person, grants in self.grants.items()
            if any(kind in kinds and area_id in {None, area} for kind, area_id in grants)
        }


def doable(steps: Iterable[Step], person: Person, *, on: date, now: datetime) -> list[Doable]:
    """Return each step with who may do it today. Three queries for any number of steps."""
    steps = list(steps)
    if not steps:
        return []
    tasks = {task.code: task for task in Task.objects.filter(plant=person.plant_id, code__in={s.task for s in steps})}
    today = _today(person, tasks, on, now)
    return [_doable(step, tasks[step.task], person, today) for step in steps if step.task in tasks]


def _doable(step: Step, task: Task, person: Person, today: _Today) -> Doable:
    if step.action == "acknowledgement":
        return Doable(step=step, names=(), more=0, is_own=True)
    able = sorted(today.names[number] for number in _able(step, task, today) - {person.pk} if number in today.names)
    return Doable(step=step, names=able[:MOST_NAMES], more=max(0, len(able) - MOST_NAMES), is_own=False)


def _able(step: Step, task: Task, today: _Today) -> set[int]:
    holders = set(today.holders.get((step.task, step.scope), ()))
    if step.action == "run":
        return holders
    if step.action in JUDGING:
        return holders & today.entrusted(frozenset({AuthorityKind.ASSESS}), task.area_id)
    if step.action == "second_signature":
        roles = frozenset(SIGNS[role] for role in Criticality(task.criticality).second_roles)
        return today.entrusted(roles, task.area_id)
    return today.entrusted(STOPPING, task.area_id)


def _today(person: Person, tasks: Mapping[str, Task], on: date, now: datetime) -> _Today:
    rows = StandingPeriod.objects.filter(
        Q(starts_at=None) | Q(starts_at__lte=now),
        Q(ends_at=None) | Q(ends_at__gt=now),
        known_to=None,
        task__in=tasks.values(),
        standing__in=TEACHES,
    )
    employed = Q(person__last_day=None) | Q(person__last_day__gte=on)
    holders: dict[tuple[str, Scope], set[int]] = defaultdict(set)
    names: dict[int, str] = {}
    for code, scope, number, name in rows.filter(employed).values_list(
        "task__code", "scope", "person_id", "person__name"
    ):
        holders[code, Scope.parse(scope)].add(number)
        names[number] = name
    grants: dict[int, list[tuple[AuthorityKind, int | None]]] = defaultdict(list)
    in_force = Authority.objects.in_force(on).filter(employed, person__plant=person.plant_id)
    for number, name, kind, area in in_force.values_list("person_id", "person__name", "kind", "area_id"):
        grants[number].append((AuthorityKind(kind), area))
        names[number] = name
    return _Today({key: frozenset(found) for key, found in holders.items()}, grants, names)
