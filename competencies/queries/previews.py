"""What a decision about a task would change, worked out before it is signed: who is touched, and from when."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from competencies.models import Person, Plant
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of, with_dependents
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame, Revision, TaskFrame, Terms
from competencies.standing.rule import PersonRule
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import ChangeClass


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """A person on a task in a scope whose timeline a decision changes.

    `before` and `after` are the periods at `from_at`, the first moment at which the two timelines differ.
    """

    person: Person
    task_code: str
    scope: Scope
    from_at: datetime
    before: Period
    after: Period

    @property
    def stops(self) -> bool:
        """Whether the person counts there without the decision, and does not with it."""
        return self.before.counts and not self.after.counts


def with_major(frame: Frame, code: str, number: int, *, now: datetime) -> Frame:
    """Return the frame as it would be with a revision made a major one."""
    task = frame.tasks[code]
    revisions = tuple(_as_major(each, now) if each.number == number else each for each in task.revisions)
    return _with(frame, replace(task, revisions=revisions))


def with_terms(frame: Frame, code: str, terms: Terms) -> Frame:
    """Return the frame as it would be with new terms of a task."""
    task = frame.tasks[code]
    ordered = sorted((*task.terms, terms), key=lambda each: (each.effective_on, each.recorded_at))
    return _with(frame, replace(task, terms=tuple(ordered)))


def with_revision(frame: Frame, code: str, revision: Revision) -> Frame:
    """Return the frame as it would be with one more revision of a task."""
    task = frame.tasks[code]
    return _with(frame, replace(task, revisions=(*task.revisions, revision)))


def _as_major(revision: Revision, now: datetime) -> Revision:
    return replace(revision, change=ChangeClass.MAJOR, reclassified_at=now)


def _with(frame: Frame, task: TaskFrame) -> Frame:
    return replace(frame, tasks={**frame.tasks, task.code: task})


def touched_by(plant: Plant, changed: Frame, code: str, *, now: datetime) -> Sequence[Touched]:
    """Return whom a changed frame touches on the task and on what leans on it, from `now` on, soonest first.

    Three queries for any number of people.
    """
    frame = frame_of(plant)
    reached = with_dependents(frame, code) | with_dependents(changed, code)
    people = Person.objects.filter(plant=plant, standing_periods__task__code__in=reached).distinct()
    named = {person.pk: person for person in people}
    facts = facts_of_people(set(named))
    found: list[Touched] = []
    for number, person in named.items():
        before, after = PersonRule(number, facts[number], frame), PersonRule(number, facts[number], changed)
        for task, scope in before.keys():  # noqa: SIM118 - a method of the rule
            if task in reached:
                found += _differing(person, before.timeline(task, scope), after.timeline(task, scope), now)
    return sorted(found, key=lambda each: (not each.stops, each.from_at, each.person.name, each.task_code))


def _differing(person: Person, before: Timeline, after: Timeline, now: datetime) -> list[Touched]:
    """Return the first moment from `now` on at which counting or the last valid day differ; else none."""
    edges = {now, *(period.start for each in (before, after) for period in each.periods if period.start)}
    changes = [
        (moment, before.at(moment), after.at(moment))
        for moment in sorted(edge for edge in edges if edge >= now)
        if _says(before.at(moment)) != _says(after.at(moment))
    ]
    if not changes:
        return []
    stopping = [each for each in changes if each[1].counts and not each[2].counts]
    moment, old, new = (stopping or changes)[0]
    return [Touched(person=person, task_code=before.task, scope=before.scope, from_at=moment, before=old, after=new)]


def _says(period: Period) -> tuple[object, ...]:
    return period.counts, period.standing, period.last_valid_on
