"""Which supervised runs count, and every reason why one does not (R1). Pure."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise

from competencies.standing.calendar import INSTANT, Clock, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.facts import Run, RunAccepted
from competencies.standing.timeline import Reason, reason

PrerequisitesOut = Callable[[Run], Iterable[str]]


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is to be said of a run whatever it is used for; it counts from `counts_from` if `reasons` is empty."""

    run: Run
    counts_from: date
    reasons: tuple[Reason, ...]


def verdict(case: Case, run: Run, prerequisites_out: Iterable[str], *, is_barred: bool) -> Verdict:
    """Return what speaks against a run for good (R1.1, R1.2, R1.4).

    Who supervised was judged when the run was written and is not judged again.
    """
    reasons = [reason("R1.1", "prerequisite", task=code) for code in prerequisites_out]
    if run.stopped:
        reasons.append(reason("R1.4", "stopped"))
    if run.by == run.person:
        reasons.append(reason("R1.1", "own"))
    if is_barred:
        reasons.append(reason("R1.1", "age"))
    confirmed_at, why = confirmation(case, run)
    if why:
        reasons.append(why)
    return Verdict(run, max(run.on, case.clock.day(confirmed_at or run.happened_at)), tuple(reasons))


def confirmation(case: Case, run: Run) -> tuple[datetime | None, Reason | None]:
    """Return when a run was confirmed for good, or why it is not (R1.2)."""
    if run.confirmed_at is None:
        return None, reason("R1.2", "not_confirmed")
    hours = case.policy_on(run.on).run_confirmation_hours
    if run.confirmed_at - run.happened_at <= timedelta(hours=hours):
        return run.confirmed_at, None
    accepted = case.pointing_at(RunAccepted, run.seq)
    if accepted and not case.is_critical:
        return max(run.confirmed_at, accepted[0].happened_at), None
    return run.confirmed_at, reason("R1.2", "confirmed_late", hours=hours)


def moment_of(clock: Clock, run: Run) -> datetime:
    """Return the moment at which R1.1 looks at prerequisites: the run's, but within the date its shift starts."""
    return min(run.happened_at, clock.midnight(days_after(run.on, 1)) - INSTANT)


def until_run(
    case: Case, start: datetime, end: datetime, runs: Sequence[Run]
) -> Iterator[tuple[datetime, datetime, int]]:
    """Yield the stretch that still wants a run (1) and the one after the first of `runs` (0)."""
    if start > end:
        return
    first = min(runs, key=order_of, default=None)
    cut = min(max(case.gain(first).end_of(start), start), end) if first else end
    for (piece, until), wanted in zip(pairwise((start, cut, end)), (1, 0), strict=True):
        yield piece, until, wanted
