"""What a plan of renewals rests on: what runs out, who may assess it, who is there on which day."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.models import Absence, Assignment, Authority, Person, Plant, RosterDay, Shift, StandingPeriod
from competencies.queries.clashes import scope_for
from competencies.queries.conflicts import conflicts_in
from competencies.queries.facts import grants_of
from competencies.queries.frame import frame_of
from competencies.queries.lapses import Narrowed, running_out
from competencies.standing.calendar import INSTANT, ONE_DAY, Clock, clock_of
from competencies.standing.facts import Conflict
from competencies.standing.framework import Policy
from competencies.standing.refusals import AuthorityGrant, has_authority
from competencies.vocabulary import AuthorityKind, Criticality, Standing

# A person, a task's code and the text of a scope.
Held = tuple[int, str, str]
JUDGES = frozenset({Standing.IN_FORCE, Standing.RENEWAL_DUE})
WORKING_DAYS = 5
# So many renewals are planned at once, the soonest first: more would keep whoever asks waiting.
MOST_DUE = 500


def week_of(day: date) -> int:
    """Return the number of the week of a day; it begins on a Monday."""
    return (day.toordinal() - 1) // 7


def monday_of(week: int) -> date:
    """Return the first day of a week."""
    return date.fromordinal(week * 7 + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A sign-off that runs out, and the days on which its renewal keeps the old day of the month (R3.1)."""

    row: StandingPeriod
    from_on: date
    until_on: date
    minutes: int

    @property
    def held(self) -> Held:
        """Return who holds what."""
        return self.row.person_id, self.row.task.code, self.row.scope

    @property
    def days(self) -> list[date]:
        """Return the days of the window."""
        return [self.from_on + timedelta(days=step) for step in range((self.until_on - self.from_on).days + 1)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Everything that was read, as known now; `held` are the assessors' periods on the tasks that run out.

    `later` is how many more run out than are planned at once.
    """

    plant: Plant
    on: date
    policy: Policy
    clock: Clock
    due: Sequence[Due]
    later: int
    planned: Sequence[Assignment]
    assessors: Mapping[int, Person]
    grants: Mapping[int, Sequence[AuthorityGrant]]
    held: Mapping[Held, Sequence[tuple[datetime | None, datetime | None]]]
    conflicts: Mapping[frozenset[int], Sequence[Conflict]]
    away: Mapping[int, Sequence[Absence]]
    rota: Mapping[int, Mapping[date, frozenset[int]]]
    rostered_weeks: frozenset[tuple[int, int]]
    shifts: Sequence[Shift]

    def is_there(self, person: Person, day: date) -> bool:
        """Whether a person works on a day: by the rota where their week has one, else from Monday to Friday."""
        if (person.last_day and person.last_day < day) or person.started_on > day:
            return False
        if any(each.from_on <= day <= each.until_on for each in self.away.get(person.pk, ())):
            return False
        if (person.pk, week_of(day)) in self.rostered_weeks:
            return day in self.rota[person.pk]
        return day.weekday() < WORKING_DAYS

    def may_assess(self, assessor: int, due: Due, day: date, *, renewed: bool) -> bool:
        """Whether an assessor may judge the renewal on a day (R2.2); `renewed`: their own sign-off is kept up."""
        task = due.row.task
        if assessor == due.row.person_id or self._is_in_conflict(assessor, due.row.person_id, day):
            return False
        if not has_authority(self.grants.get(assessor, ()), {AuthorityKind.ASSESS}, task.area.code, day):
            return False
        noon = self.clock.moment(day, 12 * 60)
        today = self.clock.moment(self.on, 12 * 60)
        return any(
            (start is None or start <= noon) and (end is None or end > noon or (renewed and end > today))
            for start, end in self.held.get((assessor, task.code, due.row.scope), ())
        )

    def _is_in_conflict(self, one: int, other: int, day: date) -> bool:
        found = self.conflicts.get(frozenset({one, other}), ())
        return any(each.valid_from <= day and (each.valid_until is None or each.valid_until >= day) for each in found)


def ground_of(plant: Plant, narrowed: Narrowed, *, moment: datetime, on: date, until_on: date) -> Ground:
    """Return what the renewals of what runs out by `until_on` rest on. A fixed number of queries."""
    frame, clock = frame_of(plant), clock_of(plant.timezone)
    policy = frame.policy_on(on)
    rows = running_out(plant, narrowed, moment=moment, on=on, until_on=until_on)
    due = [_due(row, policy, clock, on) for row in rows.select_related("person", "task__area")[:MOST_DUE]]
    given = Authority.objects.filter(person__plant=plant, kind=AuthorityKind.ASSESS)
    assessors = Person.objects.filter(pk__in=given.values("person")).employed(on).in_bulk()
    people = {each.row.person_id for each in due} | set(assessors)
    rota = _rota(people, on, until_on)
    return Ground(
        plant=plant,
        on=on,
        policy=policy,
        clock=clock,
        due=due,
        later=max(0, rows.count() - MOST_DUE),
        planned=list(
            Assignment.objects.filter(plant=plant, on__gte=on, state=Assignment.State.PLANNED).select_related(
                "task", "line", "machine"
            )
        ),
        assessors=assessors,
        grants=grants_of(list(assessors)),
        held=_held(assessors, {each.row.task_id for each in due}, moment),
        conflicts=conflicts_in(plant),
        away=_away(people, on, until_on),
        rota=rota,
        rostered_weeks=frozenset((person, week_of(day)) for person, days in rota.items() for day in days),
        shifts=list(Shift.objects.filter(plant=plant).order_by("starts")),
    )


def planned_held(assignment: Assignment) -> Held | None:
    """Return what an assignment would renew, where it names a place of the task."""
    scope = scope_for(assignment.task, assignment.line, assignment.machine)
    return None if scope is None else (assignment.person_id, assignment.task.code, str(scope))


def _due(row: StandingPeriod, policy: Policy, clock: Clock, on: date) -> Due:
    """Return the window of a renewal: from tomorrow or when it opens to the last valid day, or the end of grace."""
    last = row.last_valid_on or on
    until = clock.day(row.ends_at - INSTANT) if last < on and row.ends_at else last
    return Due(
        row=row,
        from_on=max(on + ONE_DAY, last - timedelta(days=policy.due_window_days)),
        until_on=until,
        minutes=policy.renewal_minutes.of(Criticality(row.task.criticality)),
    )


def _held(
    assessors: Mapping[int, Person], tasks: set[int], moment: datetime
) -> Mapping[Held, Sequence[tuple[datetime | None, datetime | None]]]:
    rows = StandingPeriod.objects.filter(
        person__in=assessors, task__in=tasks, known_to=None, standing__in=JUDGES
    ).exclude(ends_at__lte=moment)
    held: dict[Held, list[tuple[datetime | None, datetime | None]]] = defaultdict(list)
    for person, code, scope, start, end in rows.values_list("person", "task__code", "scope", "starts_at", "ends_at"):
        held[person, code, scope].append((start, end))
    return held


def _away(people: set[int], on: date, until_on: date) -> Mapping[int, Sequence[Absence]]:
    away: dict[int, list[Absence]] = defaultdict(list)
    for each in Absence.objects.filter(person__in=people, from_on__lte=until_on, until_on__gte=on):
        away[each.person_id].append(each)
    return away


def _rota(people: set[int], on: date, until_on: date) -> Mapping[int, Mapping[date, frozenset[int]]]:
    rota: dict[int, dict[date, frozenset[int]]] = defaultdict(dict)
    rows = RosterDay.objects.filter(person__in=people, on__range=(on, until_on))
    for person, day, shift in rows.values_list("person", "on", "shift"):
        rota[person][day] = rota[person].get(day, frozenset()) | {shift}
    return rota
