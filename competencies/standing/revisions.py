"""Revisions of a procedure: acknowledgement, delta, coming editions (R4). Pure."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime

from competencies.standing.calendar import FOR_EVER, days_after
from competencies.standing.case import Case
from competencies.standing.effects import Effect, Weight, without
from competencies.standing.facts import Acknowledgement, InitialTrainer, Run
from competencies.standing.framework import Revision, TaskFrame
from competencies.standing.runs import until_run
from competencies.standing.signoffs import Holding, earliest
from competencies.standing.spans import Gain, Span
from competencies.standing.timeline import Reason, reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import ChangeClass, Standing


def revision_effects(
    held: Holding, acknowledgements: Iterable[Acknowledgement], counted: Sequence[Run]
) -> Iterator[Effect]:
    """Yield what each revision after the one first signed off on asks of the holder (R4.2, R4.3, R4.5, R4.7)."""
    if not held.governing:
        return
    read = [(fact.revision, held.case.gain(fact)) for fact in acknowledgements]
    first = held.governing[0].assessment.revision
    for revision in held.case.task.revisions:
        if revision.number > first:
            taught = [gain for number, gain in known_revisions(held) if number >= revision.number]
            known = earliest([*taught, *(gain for number, gain in read if number >= revision.number)])
            asked = _asked_by(held.case, revision, trained_on(held, revision.number), known, counted)
            yield from without_initial_trainer(held.case, asked, revision.number)
    yield from without_initial_trainer(held.case, awaiting_revision_effects(held), 0)


def known_revisions(held: Holding) -> list[tuple[int, Gain]]:
    """Return the revisions trained on, by a full assessment or a delta, with the gain of each (R4.4)."""
    return [(attempt.assessment.revision, attempt.gain) for attempt in held.attempts if attempt.gain]


def trained_on(held: Holding, number: int) -> Gain | None:
    """Return the gain by which the changes of a revision are shown: on itself, or on a later one.

    What was shown on a coming revision says nothing of the one in force until it has taken its place (R4.7).
    """
    return earliest(
        gain if shown == number else _not_before(held.case, shown, gain)
        for shown, gain in known_revisions(held)
        if shown >= number
    )


def _not_before(case: Case, number: int, gain: Gain) -> Gain:
    revision = case.task.revision(number)
    effective_at = case.clock.midnight(revision.effective_on) if revision else gain.start
    return gain if gain.start >= effective_at else replace(gain, start=effective_at, moment=effective_at)


def awaiting_revision_effects(held: Holding) -> Iterator[Effect]:
    """R4.7: a person trained only on a coming revision is not in force until it is effective."""
    case = held.case
    for signoff in held.governing:
        revision = case.task.revision(signoff.assessment.revision)
        if signoff.is_fresh and revision is not None:
            yield Effect(
                start=signoff.gain.start,
                end=case.clock.midnight(revision.effective_on),
                weight=Weight.STOP,
                standing=Standing.AWAITING_REVISION,
                reason=reason("R4.7", "awaiting_revision", revision=revision.number, effective=revision.effective_on),
            )


def _asked_by(
    case: Case, revision: Revision, trained: Gain | None, known: Gain | None, counted: Sequence[Run]
) -> Iterator[Effect]:
    """Yield what one revision asks: as a major one, as a minor one, or first as one and then as the other (R4.8)."""
    if revision.change is ChangeClass.MINOR:
        yield from _minor(case, revision, known, None)
        return
    since = major_since(case, revision)
    if revision.reclassified_at is not None:
        yield from _minor(case, revision, known, since)
        yield _reclassified(case, revision, trained, since)
    yield from _major(case, revision, trained, since, counted)


def major_since(case: Case, revision: Revision) -> date:
    """Return the day from which a major revision acts as one: a change of class works forward (R4.8)."""
    if revision.reclassified_at is None:
        return revision.effective_on
    return max(revision.effective_on, case.clock.day(revision.reclassified_at))


def _reclassified(case: Case, revision: Revision, trained: Gain | None, since: date) -> Effect:
    """R4.8: answers about the days before keep their result and carry the remark, read or not."""
    clock = case.clock
    return Effect(
        start=clock.midnight(revision.effective_on),
        end=min(trained.start if trained else FOR_EVER, clock.midnight(since)),
        weight=Weight.REMARK,
        reason=reason("R4.8", "reclassified", revision=revision.number, on=since),
    )


def _minor(case: Case, revision: Revision, known: Gain | None, until: date | None) -> Iterator[Effect]:
    """R4.2: to be acknowledged within 30 days; then a critical task stops, another is flagged."""
    policy, clock = case.policy_on(revision.effective_on), case.clock
    last_day = days_after(revision.effective_on, policy.minor_acknowledgement_days)
    late = clock.midnight(days_after(last_day, 1))
    end = min(known.start if known else FOR_EVER, clock.midnight(until) if until else FOR_EVER)
    start = clock.midnight(revision.effective_on)
    due = reason("R4.2", "acknowledgement_due", revision=revision.number, until=last_day)
    missed = reason("R4.2", "not_acknowledged", revision=revision.number, until=last_day)
    yield Effect(start=start, end=min(late, end), weight=Weight.REMARK, reason=due)
    if case.is_critical:
        yield _stop(late, end, missed, known, Remedy(Need.ACKNOWLEDGEMENT))
    else:
        yield Effect(start=late, end=end, weight=Weight.REMARK, reason=missed)


def _major(
    case: Case, revision: Revision, trained: Gain | None, since: date, counted: Sequence[Run]
) -> Iterator[Effect]:
    """R4.3: a critical task stops at 00:00 of the day, another after 30 days, until the delta is signed."""
    days = case.policy_on(since).major_transition_days.of(case.task.criticality)
    clock = case.clock
    stops_at = clock.midnight(days_after(since, days + 1) if days else since)
    end = trained.start if trained else FOR_EVER
    until = days_after(since, days)
    due = reason("R4.3", "delta_due", revision=revision.number, until=until)
    yield Effect(start=clock.midnight(since), end=min(stops_at, end), weight=Weight.REMARK, reason=due)
    missed = reason("R4.3", "out_of_revision", revision=revision.number, effective=revision.effective_on)
    on_it = [run for run in counted if run.revision >= revision.number]
    for start, piece_end, runs in until_run(case, stops_at, end, on_it):
        yield _stop(start, piece_end, missed, trained, Remedy(Need.DELTA, runs))


def _stop(start: datetime, end: datetime, why: Reason, gain: Gain | None, remedy: Remedy) -> Effect:
    return Effect(
        start=start,
        end=end,
        weight=Weight.STOP,
        standing=Standing.OUT_OF_REVISION,
        reason=why,
        helped_at=gain.moment if gain and gain.start == end else None,
        remedy=remedy,
    )


def majors_between(case: Case, above: int, up_to: int, on: date) -> list[Revision]:
    """Return the revisions with a number in (above, up_to] that were major ones on a day (R4.5, R4.8)."""
    return [
        revision
        for revision in case.task.revisions
        if above < revision.number <= up_to and is_major(case, revision, on)
    ]


def is_major(case: Case, revision: Revision, on: date) -> bool:
    """Whether a revision was a major one on a day: one that was minor at first is so from its new class on (R4.8)."""
    if revision.change is not ChangeClass.MAJOR:
        return False
    return revision.reclassified_at is None or case.clock.day(revision.reclassified_at) <= on


def gap_criteria(task: TaskFrame, above: int, up_to: int) -> tuple[int, ...]:
    """Return the criteria touched by any revision in (above, up_to], in order (R4.5)."""
    touched = {
        number for revision in task.revisions if above < revision.number <= up_to for number in revision.touches
    }
    newest = task.revision(up_to)
    known = set(newest.criteria) if newest else set()
    return tuple(sorted(touched & known if known else touched))


def initial_trainer_spans(case: Case) -> list[tuple[Span, InitialTrainer]]:
    """Return when the person stands in as an initial trainer: 90 days from being named (R4.10)."""
    found = []
    for fact in case.all_of(InitialTrainer):
        last_day = days_after(fact.on, case.policy_on(fact.on).initial_trainer_days)
        gain = case.gain(fact)
        found.append((Span(gain.start, case.clock.midnight(days_after(last_day, 1)), gain.moment), fact))
    return found


def without_initial_trainer(case: Case, effects: Iterable[Effect], revision: int) -> list[Effect]:
    """Return what a revision asks, less the days for which the person is named initial trainer for it (R4.10)."""
    left = list(effects)
    for span, fact in initial_trainer_spans(case):
        if fact.revision is None or fact.revision >= revision:
            left = without(left, span.start, span.end, span.gained_at)
    return left


def initial_trainer_remarks(case: Case) -> Iterator[Effect]:
    """Yield the remark that somebody stands in as an initial trainer (R4.10)."""
    for span, fact in initial_trainer_spans(case):
        why = reason("R4.10", "initial_trainer", until=days_after(case.clock.day(span.end), -1))
        yield Effect(start=span.start, end=span.end, weight=Weight.REMARK, reason=why, rests_on=(fact.seq,))
