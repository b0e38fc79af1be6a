"""Which runs serve a purpose, and what is still missing (R1.5 to R1.7, R2.1, R4.6). Pure."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from itertools import pairwise
from math import floor

from competencies.standing.calendar import INSTANT, add_months, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.facts import Check, Recognition, Run, Scope
from competencies.standing.purpose import purpose_at
from competencies.standing.readiness import Progress, Purpose, PurposeKind, RangeProgress
from competencies.standing.revisions import major_since, majors_between
from competencies.standing.runs import Verdict
from competencies.standing.signoffs import Holding
from competencies.standing.spans import Span, union
from competencies.standing.timeline import Reason, reason

Checks = Mapping[str, Sequence[Check]]


@dataclass(frozen=True, slots=True)
class Tally:
    """The runs that serve a purpose, and those that do not with every reason."""

    counted: tuple[Run, ...]
    not_counted: tuple[tuple[Run, tuple[Reason, ...]], ...]


def tally(case: Case, purpose: Purpose, verdicts: Iterable[Verdict], day: date) -> Tally:
    """Return which of the runs made by a day serve a purpose on that day."""
    out: list[tuple[Run, tuple[Reason, ...]]] = []
    serving: list[Run] = []
    for each in (known for known in verdicts if max(known.run.on, case.clock.day(known.run.happened_at)) <= day):
        reasons = (*each.reasons, *_reasons_of_the_day(case, purpose, each, day))
        if reasons:
            out.append((each.run, reasons))
        else:
            serving.append(each.run)
    for exclude in (_not_carried, _drills_too_many):
        excluded = exclude(case, purpose, serving, day)
        out += [(run, (excluded[run.seq],)) for run in serving if run.seq in excluded]
        serving = [run for run in serving if run.seq not in excluded]
    return Tally(tuple(serving), tuple(out))


def _reasons_of_the_day(case: Case, purpose: Purpose, each: Verdict, day: date) -> Iterator[Reason]:
    run, months = each.run, case.policy_on(day).run_age_months
    if each.counts_from > day:
        yield reason("R1.2", "not_confirmed")
    if purpose.after is not None and run.happened_at < purpose.after:
        yield reason(purpose.rule, "before", since=case.clock.day(purpose.after))
    if add_months(run.on, months) < day:
        yield reason("R1.6", "too_old", months=months)
    if run.revision > purpose.revision:
        yield reason("R4.7", "coming_revision", revision=run.revision)


def _not_carried(case: Case, purpose: Purpose, runs: Sequence[Run], day: date) -> dict[int, Reason]:
    """R4.6: of the runs made before a major revision, at most half of the minimum serves; on a critical task none.

    Those that serve range and distinct shifts best are taken, then the newest. A delta takes none of them. Of runs
    that crossed several changes the strictest part is taken, and they fill the wider parts as well.
    """
    fractions = {run.seq: _fraction(case, purpose, run, day) for run in runs}
    old = {seq: fraction for seq, fraction in fractions.items() if fraction is not None}
    parts = set(old.values())
    taken = [run for run in runs if run.seq not in old]
    waiting = sorted((run for run in runs if run.seq in old), key=order_of, reverse=True)
    carried: set[int] = set()
    while waiting:
        best = max(waiting, key=lambda run: _worth(purpose, taken, run))
        waiting.remove(best)
        wider = [part for part in parts if part >= old[best.seq]]
        if all(sum(1 for seq in carried if old[seq] <= part) < floor(purpose.runs * part) for part in wider):
            carried.add(best.seq)
            taken.append(best)
    left = (run for run in runs if run.seq in old and run.seq not in carried)
    return {run.seq: reason("R4.6", "old_revision", revision=run.revision) for run in left}


def _fraction(case: Case, purpose: Purpose, run: Run, day: date) -> Fraction | None:
    """Return the part of the minimum up to which runs like this one carry over; None: all of them do."""
    crossed = majors_between(case, run.revision, purpose.revision, day)
    if not crossed:
        return None
    usual = Fraction(0) if case.is_critical else case.policy_on(day).runs_carried
    noted = [usual if each.carries_runs is None else each.carries_runs for each in crossed]
    return Fraction(0) if purpose.kind is PurposeKind.DELTA else min(noted)


def _worth(purpose: Purpose, taken: Sequence[Run], run: Run) -> tuple[int, bool]:
    """Return what a run adds to those taken: new values of a range, a new shift."""
    new_values = sum(
        1
        for name in purpose.ranges
        if name in run.range_values and all(each.range_values.get(name) != run.range_values[name] for each in taken)
    )
    return new_values, all((each.on, each.shift) != (run.on, run.shift) for each in taken)


def _drills_too_many(case: Case, purpose: Purpose, runs: Sequence[Run], day: date) -> dict[int, Reason]:
    """R1.7: a drill counts only up to the task's simulated maximum."""
    most = case.terms_on(day).simulated_max
    drills = [run.seq for run in runs if run.simulated]
    return dict.fromkeys(drills[most:], reason("R1.7", "drill", most=most, purpose=purpose.kind))


def passed_on(checks: Sequence[Check], day: date, months: int) -> bool:
    """Whether one of the checks was passed in the months before a day."""
    return any(check.passed and check.on <= day <= add_months(check.on, months) for check in checks)


def range_progress(
    case: Case, purpose: Purpose, counted: Sequence[Run], verdicts: Iterable[Verdict], day: date
) -> tuple[RangeProgress, ...]:
    """Return the range over the counted runs together (R1.5).

    Where the runs were cut to fewer, earlier runs and accepted evidence from elsewhere fill it too (3.17).
    """
    runs, recognised = counted, []
    if purpose.runs < case.terms_on(day).runs:
        runs = [each.run for each in verdicts if not each.reasons and each.run.on <= day]
        recognised = [fact for fact in case.all_of(Recognition) if fact.on <= day]
    found = []
    for name, needed in sorted(purpose.ranges.items()):
        values = {run.range_values[name] for run in runs if name in run.range_values}
        values.update(value for fact in recognised for value in fact.range_values.get(name, ()))
        found.append(RangeProgress(name=name, values=tuple(sorted(values)), needed=needed))
    return tuple(found)


def progress_of(
    held: Holding,
    purpose: Purpose,
    verdicts: Sequence[Verdict],
    checks: Checks,
    missing: Sequence[tuple[str, Scope]],
    day: date,
) -> Progress:
    """Return how far a person is toward a purpose on a day; `missing` are the prerequisites that are out."""
    case = held.case
    found = tally(case, purpose, verdicts, day)
    shifts = len({(run.on, run.shift) for run in found.counted})
    ranges = range_progress(case, purpose, found.counted, verdicts, day)
    months = case.policy_on(day).calculation_months
    unpassed = tuple(code for code in purpose.calculations if not passed_on(checks.get(code, ()), day, months))
    reasons = (
        *_run_shortfalls(purpose, found.counted, shifts),
        *(reason("R1.5", "range", name=each.name) for each in ranges if len(each.values) < each.needed),
        *(reason("R2.1", "calculation", calculation=code) for code in unpassed),
        *(reason("R2.1", "prerequisite", task=code, scope=scope) for code, scope in missing),
    )
    return Progress(
        purpose=purpose,
        counted=tuple(run.seq for run in found.counted),
        runs_needed=purpose.runs,
        not_counted=tuple((run.seq, why) for run, why in found.not_counted),
        distinct_shifts=shifts,
        distinct_shifts_needed=purpose.distinct_shifts,
        ranges=ranges,
        calculations_missing=unpassed,
        prerequisites_missing=tuple(missing),
        confirmed_by=Counter(run.by for run in found.counted if run.by is not None),
        ready=not reasons,
        reasons=reasons,
    )


def _run_shortfalls(purpose: Purpose, counted: Sequence[Run], shifts: int) -> Iterator[Reason]:
    if len(counted) < purpose.runs:
        yield reason("R2.1", "too_few_runs", counted=len(counted), needed=purpose.runs)
    if shifts < purpose.distinct_shifts:
        yield reason("R1.3", "too_few_shifts", counted=shifts, needed=purpose.distinct_shifts)
    fresh = [run for run in counted if purpose.fresh_after and order_of(run) > purpose.fresh_after]
    if len(fresh) < purpose.fresh_runs:
        yield reason("R5.1", "too_few_runs", counted=len(fresh), needed=purpose.fresh_runs)


def ready_spans(
    held: Holding, verdicts: Sequence[Verdict], checks: Checks, is_held_elsewhere: Callable[[datetime], bool]
) -> tuple[Span, ...]:
    """Return when a newcomer is ready, prerequisites apart (R2.1): worked out on the days on which that can change."""
    case = held.case
    clean = sorted(each.counts_from for each in verdicts if not each.reasons)
    if not clean:
        return ()
    found: list[Span] = []
    days = [day for day in _days_of_change(held, verdicts, checks) if clean[0] <= day]
    starts = [(day, case.clock.midnight(day)) for day in days if case.clock.midnight(day) < held.held_from]
    for (day, start), (_, end) in pairwise([*starts, (date.max, held.held_from)]):
        end_of_day = case.clock.midnight(days_after(day, 1)) - INSTANT
        purpose = purpose_at(held, end_of_day, is_held_elsewhere=is_held_elsewhere(end_of_day))
        enough = sum(1 for each in clean if each <= day) >= purpose.runs
        if enough and progress_of(held, purpose, verdicts, checks, (), day).ready:
            found.append(Span(start, end, start))
    return union([found])


def _days_of_change(held: Holding, verdicts: Iterable[Verdict], checks: Checks) -> list[date]:
    case = held.case
    days: set[date] = set()
    for each in verdicts:
        if not each.reasons:
            months = case.policy_on(each.counts_from).run_age_months
            days |= {each.counts_from, days_after(add_months(each.run.on, months), 1)}
    codes = {code for terms in case.task.terms for code in terms.calculations}
    for check in (check for code in codes for check in checks.get(code, ()) if check.passed):
        months = case.policy_on(check.on).calculation_months
        days |= {check.on, days_after(add_months(check.on, months), 1)}
    for revision in case.task.revisions:
        days |= {revision.effective_on, major_since(case, revision)}
    days.update(terms.effective_on for terms in case.task.terms)
    days.update(fact.on for fact in case.all_of(Recognition))
    days.update(attempt.assessment.on for attempt in held.attempts)
    return sorted(day for day in days if day > date.min)
