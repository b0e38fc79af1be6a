"""Whom a task concerns: who holds or learns it, and who trains them."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from django.db.models import Q, QuerySet

from competencies.models import Authority, Person, RevisionNotice, StandingPeriod, Task
from competencies.queries.periods import period_from
from competencies.vocabulary import AuthorityKind

TEACHING: Final = (AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.SUPERVISE)
TO_READ: Final = frozenset({"acknowledgement_due", "not_acknowledged"})
TO_SHOW: Final = frozenset({"delta_due", "out_of_revision"})


def people_of_task(task: Task, *, on: date) -> Sequence[Person]:
    """Return who has ever begun the task and works here on the day, by name. One query."""
    rows = Person.objects.filter(plant=task.plant_id, standing_periods__task=task, standing_periods__known_to=None)
    return list(rows.employed(on).select_related("crew").distinct().order_by("name"))


def concerned_by(task: Task, *, on: date) -> Sequence[Person]:
    """Return who is told of a change: who ever began the task, and who trains or leads in its area. Two queries."""
    entrusted = Authority.objects.in_force(on).filter(
        Q(area=task.area_id) | Q(area=None), person__plant=task.plant_id, kind__in=TEACHING
    )
    leading = Person.objects.filter(pk__in=entrusted.values("person")).employed(on)
    people = {person.pk: person for person in (*people_of_task(task, on=on), *leading)}
    return sorted(people.values(), key=lambda person: person.name)


@dataclass(frozen=True, slots=True)
class Told:
    """A revision that a person was told of, and whether they still have to read and acknowledge it."""

    notice: RevisionNotice
    to_read: bool
    to_show: bool


def told_of(person: Person, *, now: datetime) -> QuerySet[RevisionNotice]:
    """Return what the person was told, the newest first."""
    rows = RevisionNotice.objects.filter(person=person, told_at__lte=now)
    return rows.select_related("revision__task").order_by("-told_at", "-pk")


def with_todo(notices: Collection[RevisionNotice], person: Person, *, now: datetime) -> list[Told]:
    """Return each notice with what is left to do, as the rule says it now and for what is coming. One query."""
    codes = {notice.revision.task.code for notice in notices}
    read: set[tuple[str, int]] = set()
    shown: set[tuple[str, int]] = set()
    rows = StandingPeriod.objects.filter(person=person, task__code__in=codes, known_to=None).filter(
        Q(ends_at=None) | Q(ends_at__gt=now)
    )
    for row in rows.select_related("task"):
        for why in period_from(row).reasons:
            if why.code in TO_READ | TO_SHOW:
                key = (row.task.code, int(dict(why.params)["revision"]))
                (read if why.code in TO_READ else shown).add(key)
    return [Told(notice, _key(notice) in read, _key(notice) in shown) for notice in notices]


def _key(notice: RevisionNotice) -> tuple[str, int]:
    return notice.revision.task.code, notice.revision.number
