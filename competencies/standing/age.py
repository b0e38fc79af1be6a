"""The young-worker bar and employment: what keeps a person from counting, apart from standing (R9.7, R10). Pure."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from itertools import pairwise, zip_longest

from competencies.standing.calendar import FOR_EVER, LONG_AGO, Clock, days_after
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import Employment
from competencies.standing.framework import Frame
from competencies.standing.scopes import all_prerequisites, heaviest_bar
from competencies.standing.timeline import reason
from competencies.vocabulary import Standing, YoungWorker


def young_worker_class(frame: Frame, task: str, on: date) -> YoungWorker:
    """Return how far a task is shut to a young worker on a day: the strictest along its prerequisites (R10.3)."""
    codes = {task, *all_prerequisites(frame, task)} & frame.tasks.keys()
    return heaviest_bar(frame.tasks[code].terms_on(on).young_worker for code in codes)


def is_young(employment: Employment | None, on: date) -> bool:
    """Whether the young-worker bar holds on a day: the day it lifts is free (R10.1, R10.4)."""
    return employment is not None and employment.restricted_until is not None and on < employment.restricted_until


def age_effects(
    frame: Frame, task: str, employment: Employment | None, clock: Clock, held_from: datetime
) -> Iterator[Effect]:
    """R10: a young person counts at neither a closed nor a training-only task; who holds it goes on holding it.

    On a closed task a person who does not hold it is restricted, not learning.
    """
    if employment is None or employment.restricted_until is None:
        return
    free_on = employment.restricted_until
    for start, end, bar in _bars(frame, task, free_on, clock):
        if bar is YoungWorker.OPEN:
            continue
        why = reason("R10", "age", until=free_on, bar=bar)
        shut_until = max(start, min(end, held_from)) if bar is YoungWorker.CLOSED else start
        yield Effect(start=start, end=shut_until, weight=Weight.STOP, standing=Standing.RESTRICTED, reason=why)
        yield Effect(start=shut_until, end=end, weight=Weight.NO_COVER, reason=why)


def _bars(frame: Frame, task: str, free_on: date, clock: Clock) -> Iterator[tuple[datetime, datetime, YoungWorker]]:
    """Yield the stretches before the bar lifts with the class that the terms of their days give."""
    codes = {task, *all_prerequisites(frame, task)} & frame.tasks.keys()
    changes = sorted({terms.effective_on for code in codes for terms in frame.tasks[code].terms} - {date.min})
    edges = [date.min, *(day for day in changes if day < free_on), free_on]
    for first, after in pairwise(edges):
        start = LONG_AGO if first == date.min else clock.midnight(first)
        day = days_after(after, -1)
        yield start, clock.midnight(after), young_worker_class(frame, task, day)


def employment_effects(spells: Sequence[Employment], clock: Clock) -> Iterator[Effect]:
    """R9.7: the last day counts, the next does not, until the first of a return; nor does a day before the first."""
    if spells and spells[0].started_on is not None:
        start = clock.midnight(spells[0].started_on)
        why = reason("R9.7", "not_started_work", starts=spells[0].started_on)
        yield Effect(start=LONG_AGO, end=start, weight=Weight.NO_COVER, reason=why)
    for spell, following in zip_longest(spells, spells[1:]):
        if spell.last_day is not None:
            left = clock.midnight(days_after(spell.last_day, 1))
            back = clock.midnight(following.started_on) if following and following.started_on else FOR_EVER
            why = reason("R9.7", "left", last_day=spell.last_day)
            yield Effect(start=left, end=back, weight=Weight.NO_COVER, reason=why)


def left_before(spells: Sequence[Employment], on: date) -> date | None:
    """Return the last working day of somebody who has left before a day and has not come back by then."""
    begun = [spell for spell in spells if spell.started_on is None or spell.started_on <= on]
    last_day = begun[-1].last_day if begun else None
    return last_day if last_day is not None and last_day < on else None
