"""What the form of a supervised run needs: the procedure in question, what the task asks, who may have watched."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Q

from competencies.ledger.reading import facts_of
from competencies.models import (
    Authority,
    Criterion,
    LedgerEntry,
    Line,
    Machine,
    Person,
    Reading,
    Shift,
    Task,
    TaskRevision,
)
from competencies.queries.clashes import scope_for
from competencies.queries.facts import facts_of_people
from competencies.queries.floor import shift_span
from competencies.queries.frame import frame_of
from competencies.standing import framework
from competencies.standing.facts import Run, Scope
from competencies.standing.readiness import Progress
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, EntryKind

REMEMBERED_RUNS = 200
WATCHES = (AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE)


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlace:
    """Whose run it is, of what, when and where."""

    trainee: Person
    task: Task
    on: date
    shift: Shift
    line: Line | None = None
    machine: Machine | None = None

    @property
    def scope(self) -> Scope | None:
        """Return the scope of the run; None where the task needs a line or a machine and none is named."""
        return scope_for(self.task, self.line, self.machine)


@dataclass(frozen=True, slots=True, kw_only=True)
class RangeAsked:
    """A range that the task asks: how many different values, and those that runs have shown."""

    name: str
    needed: int
    shown: Sequence[str]
    known: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSheet:
    """What is looked at and written down in a run."""

    place: RunPlace
    scope: Scope
    revision: TaskRevision
    criteria: Sequence[Criterion]
    readings: Sequence[Reading]
    ranges: Sequence[RangeAsked]
    drills_count: bool
    watchers: Sequence[Person]
    progress: Progress
    coming: framework.Revision | None


class NoProcedureError(Exception):
    """The task has no procedure that a run could follow on that day."""


def run_sheet(place: RunPlace, scope: Scope, *, now: datetime, on_coming: bool = False) -> RunSheet:
    """Return the sheet of a run. Raises NoProcedureError. A fixed number of queries.

    `on_coming` takes the revision that is approved and not yet in effect, where there is one (R4.3, R4.7).
    """
    frame = frame_of(place.task.plant)
    rule = PersonRule(place.trainee.pk, facts_of_people([place.trainee.pk])[place.trainee.pk], frame)
    coming = coming_revision(frame.tasks[place.task.code], place.on)
    number = coming.number if coming and on_coming else None
    purpose = rule.purpose_at(place.task.code, scope, now, revision=number)
    progress = rule.progress_toward(purpose, place.task.code, scope, now)
    revision = (
        TaskRevision.objects.filter(task=place.task, number=progress.purpose.revision)
        .prefetch_related("criteria", "readings")
        .first()
    )
    if revision is None:
        raise NoProcedureError(place.task.code)
    terms = frame.tasks[place.task.code].terms_on(place.on)
    return RunSheet(
        place=place,
        scope=scope,
        revision=revision,
        criteria=sorted(revision.criteria.all(), key=lambda each: each.number),
        readings=sorted(revision.readings.all(), key=lambda each: each.number),
        ranges=_ranges(place.task, terms.ranges, progress),
        drills_count=terms.simulated_max > 0,
        watchers=_watchers(place),
        progress=progress,
        coming=coming,
    )


def coming_revision(task: framework.TaskFrame, on: date) -> framework.Revision | None:
    """Return the newest revision that is approved on a day and not yet in effect."""
    found = (each for each in task.revisions if each.approved_on <= on < each.effective_on)
    return max(found, key=lambda each: each.number, default=None)


def _ranges(task: Task, asked: Mapping[str, int], progress: Progress) -> list[RangeAsked]:
    if not asked:
        return []
    shown = {each.name: each.values for each in progress.ranges}
    known = _values_used(task)
    return [
        RangeAsked(name=name, needed=needed, shown=shown.get(name, ()), known=sorted(known[name]))
        for name, needed in asked.items()
    ]


def _values_used(task: Task) -> Mapping[str, set[str]]:
    """Return the values that the newest runs of the task showed, anybody's: the words to choose from."""
    newest = LedgerEntry.objects.filter(index__plant=task.plant_id, index__task=task.code, index__kind=EntryKind.RUN)
    used: dict[str, set[str]] = defaultdict(set)
    for fact in facts_of(newest.order_by("-seq")[:REMEMBERED_RUNS]):
        if isinstance(fact, Run):
            for name, value in fact.range_values.items():
                used[name].add(value)
    return used


def _watchers(place: RunPlace) -> list[Person]:
    """Return who may have watched: those who train, assess or lead in the task's area that day."""
    entrusted = Authority.objects.in_force(place.on).filter(
        Q(area=None) | Q(area=place.task.area_id), person__plant=place.task.plant_id, kind__in=WATCHES
    )
    people = Person.objects.employed(place.on).filter(pk__in=entrusted.values("person")).exclude(pk=place.trainee.pk)
    return list(people.select_related("plant").order_by("name", "works_number"))


def moment_in_shift(shift: Shift, on: date, *, now: datetime, zone: str) -> datetime | None:
    """Return the moment that stands for a run in a shift: now, or its last minute once it is over; None before it."""
    start, end = shift_span(shift, on, zone)
    return None if now < start else min(now, end - timedelta(minutes=1))


def shift_at(shifts: Sequence[Shift], *, now: datetime, today: date, zone: str) -> tuple[Shift, date] | None:
    """Return the shift that is running, with the date it belongs to; None between shifts."""
    for on in (today, today - timedelta(days=1)):
        for shift in shifts:
            start, end = shift_span(shift, on, zone)
            if start <= now < end:
                return shift, on
    return None
