"""Everything that stands against a plan of assignments, named before it is saved."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.utils.translation import gettext as _

from competencies.models import Absence, Assignment, Line, Machine, Person, RosterDay, Shift, Task
from competencies.queries.facts import grants_of, rules_of
from competencies.queries.frame import frame_of
from competencies.queries.induction import Start, comes_too_early, gates_before
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.refusals import AuthorityGrant, has_authority
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, ScopeKind, Standing

TEACHES = (AuthorityKind.TRAIN, AuthorityKind.ASSESS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What a trainer wants to ask for: these people, these tasks, this day, shift and place, with this trainer."""

    people: Sequence[Person]
    tasks: Sequence[Task]
    on: date
    shift: Shift
    line: Line | None
    machine: Machine | None
    trainer: Person


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """One thing against the plan, in words. `blocks`: it cannot be asked; otherwise it may, once it was seen."""

    code: str
    message: str
    blocks: bool
    person: Person | None = None
    task: Task | None = None


def scope_for(task: Task, line: Line | None, machine: Machine | None) -> Scope | None:
    """Return the scope in which the task would be done, or None where line or machine is missing."""
    if task.scope_kind == ScopeKind.SITE:
        return Scope()
    if line is None or (task.scope_kind == ScopeKind.MACHINE and machine is None):
        return None
    return Scope(line.code, machine.code if machine and task.scope_kind == ScopeKind.MACHINE else "")


@dataclass(frozen=True, slots=True)
class _Ground:
    """What was read of the floor for the plans: who is away when, who is rostered, what is asked for already."""

    absences: Sequence[Absence]
    rostered: Collection[tuple[int, date, int]]
    asked: Sequence[Assignment]

    def is_away(self, person: Person, on: date) -> bool:
        return any(each.person_id == person.pk and each.from_on <= on <= each.until_on for each in self.absences)

    def shifts(self, person: Person, on: date) -> set[int]:
        return {shift for number, day, shift in self.rostered if (number, day) == (person.pk, on)}


def clashes_of(plan: Plan) -> list[Clash]:
    """Return every clash of the plan, the blocking ones first. A fixed number of queries for any plan."""
    return clashes_of_all([plan])[0]


def clashes_of_all(plans: Sequence[Plan]) -> list[list[Clash]]:
    """Return the clashes of each of several plans of one plant, which are meant to be asked for together.

    A fixed number of queries for any number of plans; a line is full by what the other plans ask of it as well.
    """
    if not plans:
        return []
    everyone = {person.pk: person for plan in plans for person in (*plan.people, plan.trainer)}
    rules = rules_of(list(everyone.values()))
    frame = frame_of(plans[0].trainer.plant)
    grants = grants_of([plan.trainer.pk for plan in plans])
    ground = _ground(plans, everyone)
    first = min(plans, key=lambda plan: shift_start(plan.shift, plan.on, frame.timezone))
    trainees = {person.pk: person for plan in plans for person in plan.people}
    # What comes first is asked at the first of the plans: nobody knows yet what will be done in between.
    gates = gates_before(list(trainees.values()), on=first.on, now=shift_start(first.shift, first.on, frame.timezone))
    out = []
    for plan in plans:
        begins = shift_start(plan.shift, plan.on, frame.timezone)
        found = [
            *_absent(plan, ground),
            *_asked_already(plan, ground),
            *_line_full(plan, plans, ground),
            *_trainer_lacks(plan, rules[plan.trainer.pk], grants[plan.trainer.pk], begins),
            *_trainees_lack(plan, rules, frame, begins),
            *_induction_first(plan, gates),
        ]
        out.append(sorted(found, key=lambda clash: not clash.blocks))
    return out


def _ground(plans: Sequence[Plan], everyone: Mapping[int, Person]) -> _Ground:
    days = {plan.on for plan in plans}
    lines = {plan.line.pk for plan in plans if plan.line}
    planned = Assignment.objects.filter(on__in=days, state=Assignment.State.PLANNED)
    return _Ground(
        absences=list(Absence.objects.filter(person__in=everyone, from_on__lte=max(days), until_on__gte=min(days))),
        rostered=set(
            RosterDay.objects.filter(person__in=everyone, on__in=days).values_list("person_id", "on", "shift_id")
        ),
        asked=list(planned.filter(Q(person__in=everyone) | Q(line__in=lines)).select_related("person", "task")),
    )


def shift_start(shift: Shift, on: date, zone: str) -> datetime:
    """Return the moment at which a shift of the day `on` starts."""
    return datetime.combine(on, shift.starts, ZoneInfo(zone))


def _absent(plan: Plan, ground: _Ground) -> Iterator[Clash]:
    for person in {each.pk: each for each in (*plan.people, plan.trainer)}.values():
        shifts = ground.shifts(person, plan.on)
        if ground.is_away(person, plan.on):
            yield Clash(
                code="absent",
                message=_("%(name)s is away on that day.") % {"name": person.name},
                blocks=True,
                person=person,
            )
        elif (person.last_day and person.last_day < plan.on) or person.started_on > plan.on:
            yield Clash(
                code="not_employed",
                message=_("%(name)s does not work here on that day.") % {"name": person.name},
                blocks=True,
                person=person,
            )
        elif shifts and plan.shift.pk not in shifts:
            yield Clash(
                code="other_shift",
                message=_("%(name)s is rostered for another shift that day.") % {"name": person.name},
                blocks=False,
                person=person,
            )


def _asked_already(plan: Plan, ground: _Ground) -> Iterator[Clash]:
    people, tasks = {each.pk for each in plan.people}, {each.pk for each in plan.tasks}
    for row in ground.asked:
        if (row.on, row.shift_id) == (plan.on, plan.shift.pk) and row.person_id in people and row.task_id in tasks:
            yield Clash(
                code="asked_already",
                message=_("%(name)s has been asked to do %(task)s on that shift already.")
                % {"name": row.person.name, "task": row.task.title},
                blocks=True,
                person=row.person,
                task=row.task,
            )


def _line_full(plan: Plan, plans: Sequence[Plan], ground: _Ground) -> Iterator[Clash]:
    if plan.line is None:
        return
    here = (plan.line.pk, plan.on, plan.shift.pk)
    trainees = {row.person_id for row in ground.asked if (row.line_id, row.on, row.shift_id) == here}
    for each in plans:
        if each.line and (each.line.pk, each.on, each.shift.pk) == here:
            trainees |= {person.pk for person in each.people}
    if len(trainees) > plan.line.trainee_limit:
        yield Clash(
            code="line_full",
            message=_("%(line)s would have %(count)s trainees on that shift; its limit is %(limit)s.")
            % {"line": plan.line.title, "count": len(trainees), "limit": plan.line.trainee_limit},
            blocks=True,
        )


def _trainer_lacks(
    plan: Plan, rule: PersonRule, grants: Sequence[AuthorityGrant], begins: datetime
) -> Iterator[Clash]:
    for task in plan.tasks:
        if not has_authority(grants, TEACHES, task.area.code, plan.on):
            yield Clash(
                code="no_authority",
                message=_("%(name)s is not authorised to train in %(area)s on that day.")
                % {"name": plan.trainer.name, "area": task.area.title},
                blocks=True,
                task=task,
            )
        scope = scope_for(task, plan.line, plan.machine)
        if scope is None:
            yield Clash(
                code="no_place",
                message=_("%(task)s is signed off for a line or a machine: choose which.") % {"task": task.title},
                blocks=True,
                task=task,
            )
        elif not _may_supervise(rule, task, scope, begins):
            yield Clash(
                code="trainer_not_in_force",
                message=_("%(name)s is not in force on %(task)s there on that day, so the run would not count.")
                % {"name": plan.trainer.name, "task": task.title},
                blocks=True,
                task=task,
            )


def _may_supervise(rule: PersonRule, task: Task, scope: Scope, begins: datetime) -> bool:
    standing = rule.timeline(task.code, scope).at(begins).standing
    return standing in {Standing.IN_FORCE, Standing.RENEWAL_DUE}


def _trainees_lack(plan: Plan, rules: Mapping[int, PersonRule], frame: Frame, begins: datetime) -> Iterator[Clash]:
    for person in plan.people:
        if person == plan.trainer:
            yield Clash(
                code="own",
                message=_("%(name)s cannot be both the trainee and the trainer.") % {"name": person.name},
                blocks=True,
                person=person,
            )
            continue
        for task in plan.tasks:
            yield from _trainee_lacks(person, task, plan, rules[person.pk], frame, begins)


def _trainee_lacks(
    person: Person, task: Task, plan: Plan, rule: PersonRule, frame: Frame, begins: datetime
) -> Iterator[Clash]:
    names = {"name": person.name, "task": task.title}
    if rule.is_barred(task.code, plan.on):
        until = person.restricted_until.strftime("%d/%m/%Y") if person.restricted_until else ""
        yield Clash(
            code="age",
            message=_("%(name)s may not do %(task)s as a young worker until %(until)s.") % {**names, "until": until},
            blocks=True,
            person=person,
            task=task,
        )
    scope = scope_for(task, plan.line, plan.machine)
    if scope is None:
        return
    for code, _scope in rule.progress(task.code, scope, begins).prerequisites_missing:
        safety = frame.tasks[code].criticality in {"safety", "both"}
        message = (
            _("%(name)s is not in force on %(needed)s, a safety task below %(task)s: the run would not count.")
            if safety
            else _("%(name)s is not in force on %(needed)s yet, which %(task)s builds on.")
        )
        yield Clash(
            code="prerequisite",
            message=message % {**names, "needed": code},
            blocks=safety,
            person=person,
            task=task,
        )


def _induction_first(plan: Plan, gates: Mapping[int, Start]) -> Iterator[Clash]:
    """Name whoever has still to do what their induction puts before any other task."""
    for person in plan.people:
        start = gates.get(person.pk)
        for task in plan.tasks:
            if start is not None and comes_too_early(start, task):
                codes = ", ".join(step.task.code for step in start.gates)
                yield Clash(
                    code="induction_first",
                    message=_("%(name)s has not finished the induction: %(codes)s before %(task)s.")
                    % {"name": person.name, "codes": codes, "task": task.title},
                    blocks=True,
                    person=person,
                    task=task,
                )


def trainees_per_shift(assignments: Iterable[Assignment]) -> Counter[tuple[int, int]]:
    """Return how many different trainees each (line, shift) has among the assignments."""
    seen = {(item.line_id, item.shift_id, item.person_id) for item in assignments if item.line_id}
    return Counter((line_id, shift_id) for line_id, shift_id, _person in seen)
