"""What an annulment would put under review, and whom it would cost a standing (R6.4)."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Q

from competencies.models import LedgerIndex, Person, Plant, RosterDay, Task
from competencies.queries.facts import facts_of_people, grants_of
from competencies.queries.frame import frame_of
from competencies.queries.signatures import signatures
from competencies.queries.standing import standings_at
from competencies.standing.calendar import days_after
from competencies.standing.doubts import Annulled, Doubt, first_unentitled_day
from competencies.standing.facts import Assessment, Scope
from competencies.standing.framework import Frame
from competencies.vocabulary import DoubtCause, EntryKind

# What was taken over from an older record was signed by whoever typed it in, not by who judged.
TAKEN_OVER = "import"

Key = tuple[int, str, Scope]


@dataclass(frozen=True, slots=True, kw_only=True)
class Following:
    """What follows from annulling a sign-off: the first day in doubt, and the others that go under review."""

    since: date
    doubts: tuple[Doubt, ...]


def following(annulled: Assessment, plant: Plant, *, since: date | None, until: datetime) -> Following:
    """Return what goes under review when a sign-off is annulled at `until`. A fixed number of queries.

    `since` is the first day in doubt; None: worked out from the assessor's authorities as known now.
    """
    frame = frame_of(plant)
    signed = signatures([annulled.seq])[annulled.seq]
    is_taken_over = signed.entry["auth"]["method"] == TAKEN_OVER
    judged = replace(annulled, by=None) if is_taken_over else annulled
    grants = grants_of([annulled.by] if annulled.by else [])[annulled.by or 0]
    case = Annulled(judged, facts_of_people(_concerned(judged, plant)), grants, frame)
    if since is None and is_taken_over:
        since = annulled.on
    if since is None:
        since = first_unentitled_day(annulled, case.area, grants, case.judged_by_assessor())
    return Following(since=since, doubts=case.doubts(since, until))


def _concerned(annulled: Assessment, plant: Plant) -> set[int]:
    """Return the holder, whom the assessor assessed, and whom the holder assessed or watched on the task and place."""
    here = Q(actor=annulled.person, task=annulled.task, scope=str(annulled.scope))
    here &= Q(kind__in=[EntryKind.ASSESSMENT, EntryKind.RUN])
    theirs = Q(actor=annulled.by, kind=EntryKind.ASSESSMENT) if annulled.by is not None else Q(pk__in=())
    found = LedgerIndex.objects.filter(here | theirs, plant=plant).values_list("person", flat=True)
    return {annulled.person, *(person for person in found if person is not None)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Loss:
    """A sign-off that an annulment touches. `cause` is None for the annulled one itself.

    `stops_now`: it counts today, rests on this sign-off, and would count no more; `until_on` is the last day on which
    it would count yet. `shifts` are those for which the person is rostered from today on.
    """

    person: Person
    task: Task
    assessment: Assessment
    cause: DoubtCause | None
    stops_now: bool
    until_on: date | None
    shifts: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AnnulmentPreview:
    """What annulling a sign-off would do: the first day in doubt, and every sign-off it touches, its own first."""

    since: date
    losses: Sequence[Loss]

    @property
    def seqs(self) -> list[int]:
        """Return the places of the sign-offs."""
        return [loss.assessment.seq for loss in self.losses]


def annulment_preview(
    annulled: Assessment, plant: Plant, *, since: date | None, now: datetime, on: date
) -> AnnulmentPreview:
    """Return what annulling a sign-off now would do. A fixed number of queries."""
    found = following(annulled, plant, since=since, until=now)
    touched: list[tuple[Assessment, DoubtCause | None]] = [(annulled, None)]
    touched += [(doubt.assessment, doubt.cause) for doubt in found.doubts]
    numbers = {assessment.person for assessment, _cause in touched}
    people = Person.objects.in_bulk(numbers)
    tasks = {task.code: task for task in Task.objects.filter(plant=plant)}
    counting: Mapping[Key, Sequence[int]] = {
        (held.person_id, held.task_code, held.scope): held.period.rests_on
        for held in standings_at(people=numbers, moment=now)
        if held.period.counts
    }
    rostered = RosterDay.objects.filter(person__in=numbers, on__gte=on).values_list("person", flat=True)
    shifts = Counter(rostered)
    frame = frame_of(plant)
    losses = []
    for assessment, cause in touched:
        is_counting = assessment.seq in counting.get((assessment.person, assessment.task, assessment.scope), ())
        days = 0 if cause is None else _days_of_review(frame, assessment.task, on)
        losses.append(
            Loss(
                person=people[assessment.person],
                task=tasks[assessment.task],
                assessment=assessment,
                cause=cause,
                stops_now=is_counting and not days,
                until_on=days_after(on, days) if is_counting and days else None,
                shifts=shifts[assessment.person],
            )
        )
    return AnnulmentPreview(since=found.since, losses=losses)


def _days_of_review(frame: Frame, task: str, on: date) -> int:
    """Return how many days a sign-off under review counts yet: none on a critical task."""
    return frame.policy_on(on).annulment_review_days.of(frame.tasks[task].criticality)
