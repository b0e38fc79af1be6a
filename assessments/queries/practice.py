"""What a person can practise."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Q

from assessments.calculations.frame import Calculation
from assessments.models import PracticeAttempt
from assessments.queries.library import Library
from assessments.queries.practice_next import choice_among, moment_of, tasks_ahead
from assessments.queries.practice_progress import progress_of
from assessments.scheduling.choosing import Choice
from assessments.scheduling.progress import Progress
from assessments.vocabulary import Family, Verdict
from competencies.models import Person


@dataclass(frozen=True, slots=True)
class Practised:
    """A calculation with the person's own tally and progress, and the tasks ahead that ask for it."""

    calculation: Calculation
    tried: int
    right: int
    tasks: tuple[str, ...]
    progress: Progress | None
    is_due: bool


@dataclass(frozen=True, slots=True)
class PracticeList:
    """What a person can practise: what comes next, what their coming tasks ask for, then everything by family."""

    next: Choice | None
    coming: tuple[Practised, ...]
    families: tuple[tuple[Family, tuple[Practised, ...]], ...]


def practice_list(person: Person, library: Library, *, now: datetime) -> PracticeList:
    """Return what the person can practise of the library. Seven queries, however many calculations there are."""
    at = moment_of(person, now)
    tally, progress, ahead = _tally(person), progress_of(person), tasks_ahead(person, on=at.today)
    entries = tuple(
        Practised(
            calculation=kind,
            tried=tally.get(code, (0, 0))[0],
            right=tally.get(code, (0, 0))[1],
            tasks=tuple(asked.task for asked in ahead.get(kind.framework_code, ())),
            progress=progress.get(code),
            is_due=code in progress and progress[code].memory.is_due(now),
        )
        for code, kind in library.current.items()
    )
    families = ((family, tuple(each for each in entries if each.calculation.family is family)) for family in Family)
    return PracticeList(
        next=choice_among(library, progress, ahead, at=at),
        coming=tuple(each for each in entries if each.tasks),
        families=tuple((family, members) for family, members in families if members),
    )


def _tally(person: Person) -> dict[str, tuple[int, int]]:
    """Return by calculation how often the person tried it and was right."""
    rows = (
        PracticeAttempt.objects.filter(person=person)
        .values("calculation")
        .annotate(tried=Count("pk"), right=Count("pk", filter=Q(verdict=Verdict.RIGHT.value)))
        .order_by()
    )
    return {row["calculation"]: (row["tried"], row["right"]) for row in rows}
