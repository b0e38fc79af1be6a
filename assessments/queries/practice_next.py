"""What a person should practise next, and what is known of the problem before them."""

from collections.abc import Mapping
from datetime import date, datetime
from zoneinfo import ZoneInfo

from assessments.models import PracticeRound, StepsAsked
from assessments.queries.asked import asked_for
from assessments.queries.library import Library
from assessments.queries.practice_progress import progress_of
from assessments.scheduling.choosing import Asked, Candidate, Choice, Moment, choose
from assessments.scheduling.progress import Progress
from assessments.vocabulary import Family
from competencies.models import Assignment, Person
from competencies.queries.standing import end_of_day, standings_at
from competencies.vocabulary import Standing

ON_THE_WAY = (Standing.LEARNING, Standing.READY, Standing.RENEWAL_DUE, Standing.LAPSED, Standing.OUT_OF_REVISION)

TasksAhead = Mapping[str, tuple[Asked, ...]]


def moment_of(person: Person, now: datetime) -> Moment:
    """Return now, with its day told as in the person's plant."""
    return Moment(now, ZoneInfo(person.plant.timezone))


def next_for(person: Person, library: Library, *, now: datetime) -> Choice | None:
    """Return what the person should practise next and why; None when the plant has no calculation. Six queries."""
    at = moment_of(person, now)
    return choice_among(library, progress_of(person), tasks_ahead(person, on=at.today), at=at)


def choice_among(
    library: Library, progress: Mapping[str, Progress], ahead: TasksAhead, *, at: Moment
) -> Choice | None:
    """Return the choice where progress and tasks ahead are known already."""
    candidates = [
        Candidate(
            code=code,
            family=kind.family,
            progress=progress.get(code),
            asked=next(iter(ahead.get(kind.framework_code, ())), None),
        )
        for code, kind in library.current.items()
    ]
    return choose(candidates, at=at, last_family=_last_family(candidates))


def _last_family(candidates: list[Candidate]) -> Family | None:
    tried = [(each.progress.memory.last_at, each.code, each.family) for each in candidates if each.progress]
    return max(tried)[2] if tried else None


def tasks_ahead(person: Person, *, on: date) -> dict[str, tuple[Asked, ...]]:
    """Return by framework code the tasks ahead that ask for it, the soonest first. Four queries.

    Ahead are the tasks that the person is asked for from `on` on, each with its first day, and then those that they
    are on the way to.
    """
    planned = Assignment.objects.filter(person=person, on__gte=on, state=Assignment.State.PLANNED)
    days: dict[str, date | None] = {}
    for code, day in planned.order_by("on").values_list("task__code", "on"):
        days.setdefault(code, day)
    standings = standings_at(people=[person.pk], moment=end_of_day(on, person.plant))
    for held in standings:
        if held.period.standing in ON_THE_WAY:
            days.setdefault(held.task_code, None)
    found: dict[str, list[Asked]] = {}
    for item in asked_for(person.plant, on=on):
        code = item.terms.task.code
        if code in days:
            found.setdefault(item.calculation, []).append(Asked(code, days[code]))
    return {code: tuple(sorted(asked, key=_soonest)) for code, asked in found.items()}


def _soonest(asked: Asked) -> tuple[date, str]:
    return asked.on or date.max, asked.task


def open_round(person: Person) -> PracticeRound | None:
    """Return the round that the person may go on with. One query."""
    return PracticeRound.objects.filter(person=person, ended_at=None).first()


def steps_asked(person: Person, code: str, seed: int) -> int:
    """Return how many steps of a problem the person has asked to see. One query."""
    rows = StepsAsked.objects.filter(person=person, calculation=code, seed=seed)
    return rows.values_list("steps", flat=True).first() or 0
