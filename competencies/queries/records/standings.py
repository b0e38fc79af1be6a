"""The tasks of a record: where the person stands, on whose signature, after which runs."""

from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime

from competencies.queries.records.parts import RunLine, RunTally, SignOffLine, TaskLine
from competencies.queries.records.sources import Sources
from competencies.standing.calendar import add_months, clock_of
from competencies.standing.facts import Recognition, Run, Scope
from competencies.standing.framework import TaskFrame, Terms
from competencies.standing.readiness import Progress, PurposeKind, RangeProgress
from competencies.standing.rule import PersonRule
from competencies.standing.runs import Verdict
from competencies.standing.signoffs import Holding, SignOff
from competencies.standing.timeline import Reason
from competencies.vocabulary import Standing

Place = tuple[str, Scope]


def task_lines(
    sources: Sources, rule: PersonRule, needed: Collection[str], moment: datetime, on: date
) -> tuple[TaskLine, ...]:
    """Return a line for each task and scope the person has touched, and for each needed one not begun."""
    places = [place for place in _places(rule) if _is_touched(rule, place, moment)]
    begun = {code for code, _ in places}
    known = rule.frame.tasks
    lines = [_line(sources, rule, place, needed, moment, on) for place in places]
    lines += [
        _line(sources, rule, (code, Scope()), needed, moment, on)
        for code in sorted(needed)
        if code in known and code not in begun
    ]
    return tuple(sorted(lines, key=lambda line: (line.code, str(line.scope or ""))))


def _places(rule: PersonRule) -> tuple[Place, ...]:
    return rule.keys()


def _is_touched(rule: PersonRule, place: Place, moment: datetime) -> bool:
    """Whether anything on the task had happened by the moment; what happened later is no part of that day."""
    facts = rule.holding(*place).case.facts
    return any(fact.happened_at <= moment for found in facts.values() for fact in found)


def _line(
    sources: Sources, rule: PersonRule, place: Place, needed: Collection[str], moment: datetime, on: date
) -> TaskLine:
    code, scope = place
    frame, held, task = rule.frame.tasks[code], rule.holding(code, scope), sources.tasks.get(code)
    signoff = held.governing_at(moment)
    purpose = sources.purpose(signoff.assessment.seq) if signoff else None
    progress = rule.progress(code, scope, moment)
    is_begun = place in _places(rule) and _is_touched(rule, place, moment)
    return TaskLine(
        code=code,
        title=task.title if task else code,
        scope=scope if is_begun else None,
        criticality=frame.criticality,
        is_needed=code in needed,
        period=rule.timeline(code, scope).at(moment),
        signoff=_signoff_line(sources, held, signoff, purpose) if signoff else None,
        tally=_tally_of(held, signoff, purpose, rule.verdicts(code, scope)) if signoff else _tally_toward(progress),
        calculations=_calculations(rule, frame, on, is_held=signoff is not None),
        missing=progress.reasons,
        prerequisites_missing=tuple(sorted({name for name, _ in progress.prerequisites_missing})),
    )


def _signoff_line(sources: Sources, held: Holding, signoff: SignOff, purpose: PurposeKind | None) -> SignOffLine:
    assessment = signoff.assessment
    seconds = [seq for seq in signoff.gain.seqs if seq != assessment.seq]
    return SignOffLine(
        purpose=purpose,
        assessed_on=assessment.on,
        effective_on=clock_of(held.case.frame.timezone).day(signoff.gain.start),
        revision=assessment.revision,
        assessor=sources.signed(assessment.seq),
        seconds=tuple(sources.signed(seq) for seq in seconds),
    )


def _tally_of(held: Holding, signoff: SignOff, purpose: PurposeKind | None, verdicts: Iterable[Verdict]) -> RunTally:
    """Return the runs that speak for a sign-off, against what was asked of it (R4.11)."""
    terms, day = signoff.terms, signoff.assessment.on
    runs = [each.run for each in verdicts if not each.reasons and each.run.on <= day]
    needed = _runs_asked(held, signoff, purpose)
    return RunTally(
        counted=len(runs),
        needed=needed,
        distinct_shifts=len({(run.on, run.shift) for run in runs}),
        distinct_shifts_needed=min(terms.distinct_shifts, needed),
        ranges=_ranges(terms, runs, needed),
    )


def _runs_asked(held: Holding, signoff: SignOff, purpose: PurposeKind | None) -> int:
    """Return the runs a first sign-off was asked for, cut where evidence from elsewhere was recognised (R11)."""
    if purpose not in {None, PurposeKind.INITIAL}:
        return 0
    recognised = [fact for fact in held.case.all_of(Recognition) if fact.on <= signoff.assessment.on]
    return min(max(1, recognised[-1].runs_needed), signoff.terms.runs) if recognised else signoff.terms.runs


def _ranges(terms: Terms, runs: Sequence[Run], asked: int) -> tuple[RangeProgress, ...]:
    return tuple(
        RangeProgress(
            name=name,
            values=tuple(sorted({run.range_values[name] for run in runs if name in run.range_values})),
            needed=min(needed, asked),
        )
        for name, needed in sorted(terms.ranges.items())
    )


def _tally_toward(progress: Progress) -> RunTally:
    return RunTally(
        counted=len(progress.counted),
        needed=progress.runs_needed,
        distinct_shifts=progress.distinct_shifts,
        distinct_shifts_needed=progress.distinct_shifts_needed,
        ranges=progress.ranges,
    )


def _calculations(
    rule: PersonRule, task: TaskFrame, on: date, *, is_held: bool
) -> tuple[tuple[str, date | None], ...]:
    """Return each calculation the task asks for with the day of the last pass.

    Before a sign-off the pass must be recent enough (R2.1); behind one it has served.
    """
    months = rule.frame.policy_on(on).calculation_months
    found = []
    for code in task.terms_on(on).calculations:
        passed = [each.on for each in rule.checks.get(code, ()) if each.passed and each.on <= on]
        recent = [day for day in passed if is_held or on <= add_months(day, months)]
        found.append((code, max(recent, default=None)))
    return tuple(found)


def run_lines(sources: Sources, rule: PersonRule, moment: datetime, on: date) -> tuple[RunLine, ...]:
    """Return every supervised run by the end of the day, oldest first, counted or with every reason why not."""
    lines = []
    for code, scope in _places(rule):
        later = _reasons_of_the_day(rule, (code, scope), moment)
        for verdict in rule.verdicts(code, scope):
            if verdict.run.on <= on and verdict.run.seq in sources.entries:
                reasons = dict.fromkeys((*verdict.reasons, *later.get(verdict.run.seq, ())))
                lines.append(_run_line(sources, verdict.run, tuple(reasons)))
    return tuple(sorted(lines, key=lambda line: (line.on, line.seq)))


def _reasons_of_the_day(rule: PersonRule, place: Place, moment: datetime) -> dict[int, tuple[Reason, ...]]:
    """Return why runs no longer serve somebody who is still learning; a run behind a sign-off has served."""
    if rule.holding(*place).governing_at(moment) is not None:
        return {}
    standing = rule.timeline(*place).at(moment).standing
    if standing not in {Standing.LEARNING, Standing.READY, Standing.BLOCKED, Standing.RESTRICTED}:
        return {}
    return dict(rule.progress(*place, moment).not_counted)


def _run_line(sources: Sources, run: Run, reasons: tuple[Reason, ...]) -> RunLine:
    return RunLine(
        seq=run.seq,
        on=run.on,
        shift=run.shift,
        task=run.task,
        scope=run.scope,
        revision=run.revision,
        signed=sources.signed(run.seq),
        reasons=reasons,
        range_values=run.range_values,
        is_drill=run.simulated,
    )
