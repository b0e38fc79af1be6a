"""Which sign-offs are under review now, and until when they count (R6.4)."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar

from django.db.models import Q, QuerySet, TextField
from django.db.models.functions import Cast

from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, LedgerIndex, Person, Plant, StandingPeriod
from competencies.queries.frame import frame_of
from competencies.queries.periods import period_from
from competencies.standing.calendar import days_after
from competencies.standing.facts import Assessment, Fact, Review, Scope
from competencies.standing.framework import Frame
from competencies.standing.timeline import Period
from competencies.vocabulary import EntryKind

FactKind = TypeVar("FactKind", bound=Fact)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reviewed:
    """A sign-off under review, with who judged it."""

    review: Review
    assessment: Assessment
    assessor: Person | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewLine:
    """A person on a task at a place with what is under review there; `until_on` is the last day it counts yet."""

    row: StandingPeriod
    scope: Scope
    period: Period
    reviewed: Sequence[Reviewed]
    until_on: date | None


def under_review(plant: Plant, *, now: datetime) -> QuerySet[StandingPeriod, StandingPeriod]:
    """Return the periods of now in which a sign-off is under review, by person and task.

    Those that stop first come first: what counts no more, then what still counts.
    """
    written = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.REVIEW)
    rows = StandingPeriod.objects.filter(
        Q(starts_at=None) | Q(starts_at__lte=now),
        Q(ends_at=None) | Q(ends_at__gt=now),
        known_to=None,
        task__plant=plant,
        person__in=written.values("person"),
    )
    told = rows.annotate(told=Cast("reasons", TextField())).filter(told__contains='"under_review"')
    return told.select_related("person", "task").order_by("counts", "person__name", "task__code", "scope")


def review_lines(rows: Sequence[StandingPeriod], plant: Plant) -> list[ReviewLine]:
    """Return the rows with the sign-offs that are under review in them. A fixed number of queries."""
    named = {seq for row in rows for seq in row.rests_on}
    reviews = _facts(named, Review)
    judged = _facts({each.of for each in reviews.values()}, Assessment)
    frame = frame_of(plant)
    assessors = Person.objects.in_bulk({each.by for each in judged.values() if each.by})
    found = []
    for row in rows:
        here = [reviews[seq] for seq in row.rests_on if seq in reviews]
        reviewed = [
            Reviewed(review=each, assessment=judged[each.of], assessor=assessors.get(judged[each.of].by or 0))
            for each in here
            if each.of in judged
        ]
        found.append(
            ReviewLine(
                row=row,
                scope=Scope.parse(row.scope),
                period=period_from(row),
                reviewed=reviewed,
                until_on=_until(row, here, frame) if row.counts else None,
            )
        )
    return found


def _facts(seqs: Collection[int], kind: type[FactKind]) -> dict[int, FactKind]:
    entries = LedgerEntry.objects.filter(seq__in=seqs).order_by("seq")
    return {fact.seq: fact for fact in facts_of(entries) if isinstance(fact, kind)}


def _until(row: StandingPeriod, reviews: Sequence[Review], frame: Frame) -> date | None:
    """Return the last day on which it counts by the reviews; its last valid day may come first, and is told apart."""
    critical = frame.tasks[row.task.code].criticality
    days = [days_after(each.on, frame.policy_on(each.on).annulment_review_days.of(critical)) for each in reviews]
    return min(days, default=None)
