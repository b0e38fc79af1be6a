"""The trainer's floor page: who is on shift, what they are asked to do, how far each is, and what comes next."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from competencies.models import Assignment, Authority, Line, Person, Plant, RosterDay, Shift, Station, Task
from competencies.queries.clashes import scope_for
from competencies.queries.facts import rules_of
from competencies.queries.frame import frame_of
from competencies.queries.standing import Held, standings_at
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.readiness import Progress
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period
from competencies.vocabulary import AuthorityKind, Criticality, Standing

TEACHES = (AuthorityKind.TRAIN, AuthorityKind.ASSESS)
ON_THE_WAY = {Standing.LEARNING, Standing.READY, Standing.AWAITING_SIGNATURE}
# How long an unrecorded run is worth reminding of, and how many next tasks a person is offered.
REMINDED_DAYS = 14
NEXT_TASKS = 3
# The longest person number there is: a longer one in an address is nobody's.
NUMBER_LENGTH = 13


class NextStep(StrEnum):
    """The one thing to do about an assignment."""

    LOG_RUN = "log_run"
    OPEN_CHECK = "open_check"
    HAND_ON = "hand_on"
    WAIT = "wait"
    DONE = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One assignment with where its trainee stands; `progress` and `period` are None where no place is named yet."""

    assignment: Assignment
    scope: Scope | None
    period: Period | None
    progress: Progress | None
    step: NextStep


@dataclass(frozen=True, slots=True, kw_only=True)
class OnShift:
    """A person on the roster; `teaches` where they may train or assess that day."""

    person: Person
    teaches: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LineShift:
    """One line (None: nowhere in particular) on one shift of one day."""

    on: date
    shift: Shift
    line: Line | None
    people: Sequence[OnShift]
    asked: Sequence[Asked]

    @property
    def learners(self) -> Sequence[Person]:
        """Return the people on shift who do not teach."""
        return [each.person for each in self.people if not each.teaches]


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskFor:
    """One task with the people on shift whom it concerns."""

    task: Task
    scope: Scope
    people: Sequence[tuple[Person, Held | None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyFor:
    """Who on shift is ready for what: groups by task."""

    assessment: Sequence[TaskFor]
    more_runs: Sequence[TaskFor]
    first_run: Sequence[TaskFor]
    renewal: Sequence[TaskFor]

    @property
    def is_empty(self) -> bool:
        """Whether there is nobody in any group."""
        return not (self.assessment or self.more_runs or self.first_run or self.renewal)


@dataclass(frozen=True, slots=True, kw_only=True)
class Overdue:
    """A run that was asked for, whose shift is over, and that nobody has recorded yet; `late_at` ends the 72 hours."""

    assignment: Assignment
    late_at: datetime
    is_late: bool

    @property
    def is_lost(self) -> bool:
        """Whether recording it now would never count: late, on a critical task (R1.2)."""
        return self.is_late and Criticality(self.assignment.task.criticality).is_critical


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorPlan:
    """Everything on the floor page."""

    lines: Sequence[LineShift]
    ready_for: ReadyFor
    overdue: Sequence[Overdue]


@dataclass(frozen=True, slots=True)
class Then:
    """The minute of a past day at which standings are looked at, and whose knowledge is used (None: now's)."""

    moment: datetime
    known: datetime | None = None


@dataclass(slots=True)
class _Rows:
    """What was read of the days shown."""

    roster: list[RosterDay]
    asked: list[Assignment]
    overdue: list[Assignment]
    teachers: frozenset[int]
    people: dict[int, Person] = field(default_factory=dict)


def shift_span(shift: Shift, on: date, zone: str) -> tuple[datetime, datetime]:
    """Return the start and the end of a shift of the day `on`; an end at or before the start is on the next day."""
    tz = ZoneInfo(zone)
    ends_on = on if shift.ends > shift.starts else on + timedelta(days=1)
    return datetime.combine(on, shift.starts, tz), datetime.combine(ends_on, shift.ends, tz)


def floor_plan(
    plant: Plant,
    *,
    days: Sequence[date],
    now: datetime,
    then: Then | None = None,
    line: Line | None = None,
    trainer: Person | None = None,
) -> FloorPlan:
    """Return what is on the floor on these days. The number of queries does not depend on people, tasks or days.

    `then` shows the standings of a past day instead of today's.
    `line` and `trainer` narrow what was asked to a line or a trainer.
    """
    rows = _rows(plant, days, now, line, trainer)
    moment, known = (then.moment, then.known) if then else (now, None)
    rules = rules_of(list(rows.people.values()), known=known)
    held = standings_at(people=set(rows.people), moment=moment, known=known)
    frame = frame_of(plant)
    periods = {(each.person_id, each.task_code, each.scope): each.period for each in held}
    asked = [_asked(item, rules[item.person_id], periods, moment) for item in rows.asked]
    return FloorPlan(
        lines=_line_shifts(rows, asked),
        ready_for=_ready_for(plant, rows, held, frame, days[0]),
        overdue=_overdue(rows.overdue, frame, now),
    )


def _rows(plant: Plant, days: Sequence[date], now: datetime, line: Line | None, trainer: Person | None) -> _Rows:
    roster = RosterDay.objects.filter(person__plant=plant, on__in=days).select_related(
        "person__plant", "shift", "line"
    )
    asked = Assignment.objects.filter(plant=plant).select_related(
        "person__plant", "task__area", "line", "machine", "shift", "trainer"
    )
    if line is not None:
        roster, asked = roster.filter(line=line), asked.filter(line=line)
    if trainer is not None:
        asked = asked.filter(trainer=trainer)
    shown = asked.filter(on__in=days).exclude(state=Assignment.State.DROPPED)
    today = now.astimezone(ZoneInfo(plant.timezone)).date()
    waiting = asked.filter(
        state=Assignment.State.PLANNED, on__lte=today, on__gte=today - timedelta(days=REMINDED_DAYS)
    ).order_by("on", "shift__starts", "person__name")
    rows = _Rows(
        roster=list(roster.order_by("on", "shift__starts", "line__code", "person__name")),
        asked=list(shown.order_by("on", "shift__starts", "line__code", "person__name", "task__code")),
        overdue=[item for item in waiting if shift_span(item.shift, item.on, plant.timezone)[1] <= now],
        teachers=frozenset(
            Authority.objects.in_force(days[0])
            .filter(person__plant=plant, kind__in=TEACHES)
            .values_list("person_id", flat=True)
        ),
    )
    rows.people = {day.person_id: day.person for day in rows.roster}
    rows.people |= {item.person_id: item.person for item in rows.asked}
    return rows


def _asked(
    item: Assignment, rule: PersonRule, periods: Mapping[tuple[int, str, Scope], Period], now: datetime
) -> Asked:
    scope = scope_for(item.task, item.line, item.machine)
    if scope is None or item.task.code not in rule.frame.tasks:
        return Asked(assignment=item, scope=None, period=None, progress=None, step=_step(item, None))
    progress = rule.progress(item.task.code, scope, now)
    period = periods.get((item.person_id, item.task.code, scope))
    return Asked(assignment=item, scope=scope, period=period, progress=progress, step=_step(item, progress))


def _step(item: Assignment, progress: Progress | None) -> NextStep:
    """Return the one thing to do: a planned run is logged first; then what still keeps the person from being ready."""
    if item.state == Assignment.State.PLANNED:
        return NextStep.LOG_RUN
    if progress is None:
        return NextStep.DONE
    if progress.ready:
        return NextStep.HAND_ON
    if progress.calculations_missing:
        return NextStep.OPEN_CHECK
    return NextStep.WAIT if progress.reasons else NextStep.DONE


def _line_shifts(rows: _Rows, asked: Iterable[Asked]) -> list[LineShift]:
    places: dict[tuple[date, int, int], tuple[Shift, Line | None]] = {}
    people: dict[tuple[date, int, int], list[OnShift]] = defaultdict(list)
    by_place: dict[tuple[date, int, int], list[Asked]] = defaultdict(list)
    for day in rows.roster:
        key = (day.on, day.shift_id, day.line_id or 0)
        places[key] = (day.shift, day.line)
        people[key].append(OnShift(person=day.person, teaches=day.person_id in rows.teachers))
    for each in asked:
        item = each.assignment
        key = (item.on, item.shift_id, item.line_id or 0)
        places.setdefault(key, (item.shift, item.line))
        by_place[key].append(each)
    found = [
        LineShift(on=key[0], shift=shift, line=line, people=people[key], asked=by_place[key])
        for key, (shift, line) in places.items()
    ]
    return sorted(found, key=lambda each: (each.on, each.shift.starts, each.line.code if each.line else "~"))


def _ready_for(plant: Plant, rows: _Rows, held: Sequence[Held], frame: Frame, on: date) -> ReadyFor:
    tasks = {task.code: task for task in Task.objects.filter(plant=plant).select_related("area")}
    by_standing: dict[Standing, list[Held]] = defaultdict(list)
    for each in held:
        if each.task_code in tasks:
            by_standing[each.period.standing].append(each)
    due = [*by_standing[Standing.RENEWAL_DUE], *by_standing[Standing.IN_GRACE]]
    return ReadyFor(
        assessment=_by_task(by_standing[Standing.READY], tasks, rows.people),
        more_runs=_by_task(by_standing[Standing.LEARNING], tasks, rows.people),
        first_run=_first_runs(rows, held, frame, tasks, on),
        renewal=_by_task(due, tasks, rows.people),
    )


def _by_task(found: Iterable[Held], tasks: Mapping[str, Task], people: Mapping[int, Person]) -> list[TaskFor]:
    groups: dict[tuple[str, Scope], list[Held]] = defaultdict(list)
    for each in found:
        groups[each.task_code, each.scope].append(each)
    return [
        TaskFor(
            task=tasks[code],
            scope=scope,
            people=sorted(((people[each.person_id], each) for each in group), key=lambda pair: pair[0].name),
        )
        for (code, scope), group in sorted(groups.items(), key=lambda pair: pair[0])
    ]


def _first_runs(rows: _Rows, held: Sequence[Held], frame: Frame, tasks: Mapping[str, Task], on: date) -> list[TaskFor]:
    """Offer each learner on shift a few tasks of their area or line that nothing stands in the way of."""
    touched: dict[int, set[str]] = defaultdict(set)
    in_force: dict[int, set[str]] = defaultdict(set)
    learners = {item.person_id for item in rows.asked}
    for each in held:
        if each.period.standing is not Standing.NOT_STARTED:
            touched[each.person_id].add(each.task_code)
        if each.period.standing.is_in_force:
            in_force[each.person_id].add(each.task_code)
        if each.period.standing in ON_THE_WAY:
            learners.add(each.person_id)
    on_lines = _stationed(rows)
    groups: dict[str, list[tuple[Person, Held | None]]] = defaultdict(list)
    for person in sorted(rows.people.values(), key=lambda each: each.name):
        if person.pk in rows.teachers or (person.pk not in learners and in_force[person.pk]):
            continue
        open_tasks = _open_tasks(frame, in_force[person.pk], touched[person.pk], on)
        near = [code for code in open_tasks if _is_near(person, tasks[code], on_lines[person.pk])]
        for code in sorted(near, key=lambda code: (tasks[code].level, code))[:NEXT_TASKS]:
            groups[code].append((person, None))
    return [TaskFor(task=tasks[code], scope=Scope(), people=group) for code, group in sorted(groups.items())]


def _open_tasks(frame: Frame, in_force: Collection[str], touched: Collection[str], on: date) -> list[str]:
    return [
        code
        for code, task in frame.tasks.items()
        if code not in touched and task.terms and set(task.terms_on(on).prerequisites) <= set(in_force)
    ]


def _is_near(person: Person, task: Task, stationed: Collection[int]) -> bool:
    return task.area_id == person.area_id or task.pk in stationed


def _stationed(rows: _Rows) -> Mapping[int, set[int]]:
    """Return for each person the tasks of the stations on the lines where they are rostered."""
    by_line: dict[int, set[int]] = defaultdict(set)
    lines = {day.line_id for day in rows.roster if day.line_id}
    for line_id, task_id in Station.objects.filter(line__in=lines).values_list("line_id", "task_id"):
        by_line[line_id].add(task_id)
    found: dict[int, set[int]] = defaultdict(set)
    for day in rows.roster:
        if day.line_id:
            found[day.person_id] |= by_line[day.line_id]
    return found


def _overdue(waiting: Iterable[Assignment], frame: Frame, now: datetime) -> list[Overdue]:
    found = []
    for item in waiting:
        _, ends = shift_span(item.shift, item.on, frame.timezone)
        late_at = ends + timedelta(hours=frame.policy_on(item.on).run_confirmation_hours)
        found.append(Overdue(assignment=item, late_at=late_at, is_late=now > late_at))
    return found


def people_to_ask(plant: Plant, *, on: date) -> QuerySet[Person]:
    """Return the people of the plant who work here on a day, by name."""
    return Person.objects.filter(plant=plant).employed(on).select_related("plant").order_by("name", "works_number")


def trainers_of(plant: Plant, *, on: date) -> QuerySet[Person]:
    """Return the people of the plant who may train or assess somewhere on a day, by name."""
    entrusted = Authority.objects.in_force(on).filter(person__plant=plant, kind__in=TEACHES)
    return people_to_ask(plant, on=on).filter(pk__in=entrusted.values("person"))


def line_of_day(person: Person, *, on: date) -> str | None:
    """Return the code of the line that a person is rostered at on a day; None where it is none or several."""
    codes = set(RosterDay.objects.filter(person=person, on=on).values_list("line__code", flat=True))
    return codes.pop() if len(codes) == 1 else None


def shift_shared(plant: Plant, *, numbers: Iterable[str], on: date) -> str | None:
    """Return the name of the one shift that the named people are rostered for on a day; None where they differ."""
    people = [
        int(number) for number in numbers if number.isascii() and number.isdigit() and len(number) <= NUMBER_LENGTH
    ]
    roster = RosterDay.objects.filter(person__plant=plant, person__in=people, on=on)
    names = set(roster.values_list("shift__name", flat=True)) if people else set()
    return names.pop() if len(names) == 1 else None


def near_at_hand(plant: Plant, *, on: date, shift: Shift | None, line: Line | None) -> tuple[set[str], set[str]]:
    """Return the numbers of who is rostered then (at the line, or anywhere), and the codes of the line's tasks."""
    roster = RosterDay.objects.filter(person__plant=plant, on=on, shift=shift)
    if line is not None:
        roster = roster.filter(line=line)
    people = {str(number) for number in roster.values_list("person_id", flat=True)}
    at_line = Task.objects.filter(Q(places__line=line) | Q(stations__line=line), plant=plant) if line else ()
    return people, {task.code for task in at_line}
