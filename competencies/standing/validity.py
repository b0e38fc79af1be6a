"""The last valid day and what comes after it: due window, grace, lapse (R3.1, R3.3, R3.4). Pure."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from itertools import pairwise, zip_longest
from math import ceil

from competencies.standing.calendar import FOR_EVER, add_months, days_after
from competencies.standing.case import Case
from competencies.standing.effects import Effect, Weight
from competencies.standing.facts import Run
from competencies.standing.signoffs import Holding, Reckoning, SignOff
from competencies.standing.timeline import reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import Standing


def validity_effects(held: Holding, counted: Iterable[Run]) -> Iterator[Effect]:
    """Yield what the calendar does to each sign-off until the next one governs."""
    runs = sorted(run.on for run in counted)
    for signoff, follower in held.governed():
        until = follower.gain.start if follower else FOR_EVER
        yield from _decision_remarks(signoff, until)
        for reckoning, later in zip_longest(signoff.reckonings, signoff.reckonings[1:]):
            end = min(later.start, until) if later else until
            helped_at = follower.gain.moment if follower and end == until else None
            yield from _of_one(held.case, reckoning, end, helped_at, runs)


def _decision_remarks(signoff: SignOff, until: datetime) -> Iterator[Effect]:
    """R4.11: that a dated decision reaches a sign-off given before it is told as long as it governs."""
    for reckoning, later in zip_longest(signoff.reckonings[1:], signoff.reckonings[2:]):
        why = reason(
            "R4.11",
            "terms_applied",
            effective=reckoning.terms.effective_on,
            on=reckoning.terms.applies_to_held_on,
        )
        end = min(later.start, until) if later else until
        yield Effect(start=reckoning.start, end=end, weight=Weight.REMARK, reason=why)


def _of_one(
    case: Case, held: Reckoning, until: datetime, helped_at: datetime | None, runs: list[date]
) -> Iterator[Effect]:
    last = held.last_valid_on
    if last is None:
        return
    midnight = case.clock.midnight
    over = midnight(days_after(last, 1))
    opens = midnight(days_after(last, -case.policy_on(last).due_window_days))
    due = (opens, over, Standing.RENEWAL_DUE, "R3.1")
    grace = (over, held.ends_at, Standing.IN_GRACE, "R3.3")
    for start, end, standing, rule in (due, grace):
        yield Effect(
            start=max(start, held.start),
            end=min(end, until),
            weight=Weight.REMARK,
            standing=standing,
            reason=reason(rule, standing.value, last_valid=last),
        )
    for start, end, left in _lapse_pieces(case, max(held.ends_at, held.start), until, held.lost_after or last, runs):
        yield Effect(
            start=start,
            end=end,
            weight=Weight.STOP,
            standing=Standing.LAPSED,
            helped_at=helped_at,
            reason=reason("R3.4", "lapsed", last_valid=last),
            remedy=Remedy(Need.FULL, left),
        )


def lapse_runs(case: Case, last_valid_on: date, on: date) -> int:
    """Return the supervised runs asked before the assessment on a day after the lapse (R3.4, the three bands)."""
    policy, runs = case.policy_on(on), case.terms_on(on).runs
    if on <= add_months(last_valid_on, policy.lapse_first_months):
        return min(1, runs)
    if on <= add_months(last_valid_on, policy.lapse_second_months):
        return ceil(runs / 2)
    return runs


def _lapse_pieces(
    case: Case, start: datetime, end: datetime, last: date, runs: list[date]
) -> Iterator[tuple[datetime, datetime, int]]:
    """Yield the stretches of a lapse with the runs still wanted in each."""
    if start > end:
        return
    clock, lapsed_on = case.clock, case.clock.day(start)
    policy = case.policy_on(last)
    bands = (add_months(last, policy.lapse_first_months), add_months(last, policy.lapse_second_months))
    since = [day for day in runs if day >= lapsed_on]
    days = {*(days_after(band, 1) for band in bands), *since}
    later = sorted(day for day in days if day > lapsed_on and clock.midnight(day) < end)
    edges = [start, *(clock.midnight(day) for day in later), end]
    for day, (piece, until) in zip([lapsed_on, *later], pairwise(edges), strict=True):
        done = sum(1 for run in since if run <= day)
        yield piece, until, max(0, lapse_runs(case, last, day) - done)
