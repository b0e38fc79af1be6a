"""Use keeps a sign-off fresh: recency and long absence (R3.5, R3.6). Pure."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import chain

from competencies.standing.calendar import FOR_EVER, days_after
from competencies.standing.case import Case
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import Absence, Assessment, Performance, Run
from competencies.standing.signoffs import Holding, State
from competencies.standing.spans import Gain
from competencies.standing.timeline import Reason, reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import Standing


@dataclass(frozen=True, slots=True)
class Use:
    """A day on which the task was performed; `seen` is set where somebody in force observed it."""

    on: date
    seen: Gain | None = None


def uses(held: Holding, counted: Iterable[Run], other_days: Iterable[date]) -> list[Use]:
    """Return the performances of a case in order: own log, runs, assessments; drills up to their maximum (R3.5).

    `other_days` are days on which another task refreshed this one.
    """
    case = held.case
    seen_runs = {run.seq for run in counted}
    found = [Use(fact.on) for fact in case.all_of(Performance)]
    found += [Use(day) for day in other_days]
    drills = 0
    for run in case.all_of(Run):
        drills += run.simulated
        if run.stopped or (run.simulated and drills > case.terms_on(run.on).simulated_max):
            continue
        seen = case.gain(run) if run.seq in seen_runs else None
        found.append(Use(run.on, seen))
    for attempt in held.attempts:
        is_seen = attempt.state in {State.SIGNED, State.UNSIGNED}
        found.append(Use(attempt.assessment.on, case.gain(attempt.assessment) if is_seen else None))
    return sorted(found, key=lambda use: (use.on, use.seen.moment if use.seen else FOR_EVER))


def recency_effects(held: Holding, used: Sequence[Use]) -> Iterator[Effect]:
    """R3.5: stale after 90 days (critical) or 180 without a performance, until one is observed."""
    case = held.case
    if not held.governing:
        return
    last, stale_on = held.governing[0].assessment.on, None
    # The first sign-off is itself among the performances, and starts the count.
    for use in [use for use in used if use.on >= last]:
        if stale_on is None or use.on < stale_on:
            last, stale_on = use.on, _stale_on(case, use.on)
        elif use.seen is not None:
            yield _stale(case, stale_on, use.seen, reason("R3.5", "stale", last=last))
            last, stale_on = use.on, _stale_on(case, use.on)
    if stale_on is not None:
        yield _stale(case, stale_on, None, reason("R3.5", "stale", last=last))


def absence_effects(held: Holding, used: Sequence[Use], absences: Iterable[Absence]) -> Iterator[Effect]:
    """R3.6: after 90 days or more away every critical task is stale, whatever the log says."""
    case = held.case
    if not case.is_critical:
        return
    for absence in absences:
        away = case.policy_on(absence.on).long_absence_days
        stale_on = days_after(absence.on, away + 1)
        if absence.back_on is not None and absence.back_on < stale_on:
            continue
        back_on = absence.back_on or stale_on
        seen = next((use.seen for use in used if use.seen and use.on >= back_on), None)
        yield _stale(case, stale_on, seen, reason("R3.6", "stale", last=absence.on))


def _stale_on(case: Case, last: date) -> date | None:
    """Return the first stale day after a performance; None where the plant does not ask for recency."""
    pair, own = case.policy_on(last).recency_days, case.terms_on(last).recency_days
    if pair is None:
        return None
    return days_after(last, (pair.of(case.task.criticality) if own is None else own) + 1)


def _stale(case: Case, stale_on: date, seen: Gain | None, why: Reason) -> Effect:
    start = case.clock.midnight(stale_on)
    return Effect(
        start=start,
        end=max(seen.start, start) if seen else FOR_EVER,
        weight=Weight.STOP,
        standing=Standing.STALE,
        reason=why,
        helped_at=seen.moment if seen else None,
        remedy=Remedy(Need.RUN, 1),
    )


def refreshing_days(others: Iterable[Case]) -> list[date]:
    """Return the days on which cases that refresh a task were performed."""
    return [
        fact.on
        for case in others
        for fact in chain(case.all_of(Performance), case.all_of(Run), case.all_of(Assessment))
        if not (isinstance(fact, Run) and fact.stopped)
    ]
