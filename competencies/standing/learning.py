"""Before the first sign-off: not started, learning, ready, awaiting a signature; and initial trainers. Pure."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from itertools import chain

from competencies.standing.calendar import FOR_EVER, INSTANT, LONG_AGO
from competencies.standing.case import Case, order_of
from competencies.standing.effects import Effect, Mark, Weight, without
from competencies.standing.facts import Assessment, CheckOwed, Recognition, Run, Withdrawal
from competencies.standing.revisions import initial_trainer_spans, known_revisions
from competencies.standing.signoffs import Attempt, Holding, SignOff, State
from competencies.standing.spans import Gain, Span
from competencies.standing.timeline import reason
from competencies.standing.way_back import Need, Remedy
from competencies.vocabulary import Standing


def started_at(case: Case) -> datetime:
    """Return the start of the day of the first run, assessment or recognition; FOR_EVER if there is none."""
    first = min((fact.on for kind in (Run, Assessment, Recognition) for fact in case.all_of(kind)), default=None)
    return case.clock.midnight(first) if first else FOR_EVER


def learning_effects(held: Holding, ready: Iterable[Span]) -> list[Effect]:
    """Return the standing until the first sign-off takes effect; the way there asks the runs of the terms then."""
    until, started, signature = held.held_from, started_at(held.case), Remedy(Need.SIGNATURE)
    found: list[Effect] = []
    learning: list[Effect] = []
    for start, end, terms in held.case.terms_in_time():
        full = Remedy(Need.FULL, terms.runs)
        found.append(_until_held(held, Standing.NOT_STARTED, start, min(end, started), full))
        learning.append(_until_held(held, Standing.LEARNING, max(start, started), min(end, until), full))
    is_ready: list[Effect] = []
    for span in ready:
        learning = without(learning, span.start, span.end)
        end = min(span.end, until)
        is_ready.append(_until_held(held, Standing.READY, span.start, end, Remedy(Need.FULL)))
    for start, end, _ in signature_waits(held):
        learning, is_ready = without(learning, start, end), without(is_ready, start, end)
        found.append(_until_held(held, Standing.AWAITING_SIGNATURE, start, min(end, until), signature))
    for span, _ in initial_trainer_spans(held.case):
        learning = without(learning, span.start, span.end, span.gained_at)
        is_ready = without(is_ready, span.start, span.end, span.gained_at)
        found = without(found, span.start, span.end, span.gained_at)
    return found + learning + is_ready


def _until_held(held: Holding, standing: Standing, start: datetime, end: datetime, remedy: Remedy) -> Effect:
    gain = held.governing[0].gain if held.governing else None
    code = "not_signed_off" if standing in {Standing.LEARNING, Standing.READY} else standing.value
    rule = "R2.4" if standing is Standing.AWAITING_SIGNATURE else "R2.1"
    return Effect(
        start=start,
        end=end,
        weight=Weight.STOP,
        standing=standing,
        reason=reason(rule, code),
        helped_at=gain.moment if gain and end == gain.start else None,
        remedy=remedy,
    )


def signature_waits(held: Holding) -> list[tuple[datetime, datetime, Attempt]]:
    """Return the stretches in which an assessment waits for its second signature, at most 14 days (R2.4)."""
    clock = held.case.clock
    ends = [(attempt, attempt.gain.start if attempt.gain else attempt.void_at) for attempt in held.attempts]
    waits = [(clock.midnight(attempt.assessment.on), end, attempt) for attempt, end in ends if end]
    return [(start, end, attempt) for start, end, attempt in waits if start < end]


def signature_remarks(held: Holding) -> Iterator[Effect]:
    """Yield the remarks on signatures: awaited by a holder, or missed so that the assessment is void (R2.4)."""
    for start, end, attempt in signature_waits(held):
        why, lost_at = reason("R2.4", "awaiting_signature"), _lost_after(held, attempt)
        awaited = Effect(start=max(start, held.held_from), end=end, weight=Weight.REMARK, reason=why)
        yield awaited
        helps = Remedy(Need.SIGNATURE, serves=_served_by(held, attempt, end))
        yield replace(awaited, end=min(end, lost_at), remedy=helps)
    for attempt in held.attempts:
        if attempt.void_at:
            why = reason("R2.4", "void", assessed=attempt.assessment.on)
            yield Effect(start=attempt.void_at, end=_next_attempt(held, attempt), weight=Weight.REMARK, reason=why)


def _lost_after(held: Holding, attempt: Attempt) -> datetime:
    """Return when a decision took away what an assessment before it, signed late, cannot give back."""
    failed = (each.assessment for each in held.attempts if each.state is State.NOT_YET_COMPETENT)
    losses = (*held.case.all_of(Withdrawal), *held.case.all_of(CheckOwed), *failed)
    later = (fact.happened_at for fact in losses if order_of(fact) > order_of(attempt.assessment))
    return min(later, default=FOR_EVER)


def _served_by(held: Holding, attempt: Attempt, until: datetime) -> frozenset[Need]:
    """Return what the signature on a waiting assessment does for: a renewal on the newest revision for both."""
    if attempt.assessment.delta:
        return frozenset({Need.DELTA})
    current = held.case.task.revision_on(held.case.clock.day(until - INSTANT))
    is_newest = current is None or attempt.assessment.revision >= current.number
    return frozenset({Need.FULL, Need.RETURN} | ({Need.DELTA} if is_newest else set()))


def _next_attempt(held: Holding, attempt: Attempt) -> datetime:
    later = (each for each in held.attempts if order_of(each.assessment) > order_of(attempt.assessment))
    following = next(later, None)
    return held.case.clock.midnight(following.assessment.on) if following else FOR_EVER


def marks(held: Holding) -> list[Mark]:
    """Return what the periods show from each gain on: last valid day, revision held, entries rested on."""
    case = held.case
    starts = {signoff.gain.start for signoff in held.governing}
    known = [(max(gain.start, _effective_at(case, number)), number, gain) for number, gain in known_revisions(held)]
    starts.update(each.start for signoff in held.governing for each in signoff.reckonings)
    starts.update(max(start, held.held_from) for start, _, _ in known)
    governed = ((start, held.governing_at(start)) for start in sorted(starts))
    return [_mark(held, signoff, start, known) for start, signoff in governed if signoff]


def _mark(held: Holding, signoff: SignOff, start: datetime, known: list[tuple[datetime, int, Gain]]) -> Mark:
    numbers = [number for since, number, _ in known if since <= start]
    later = [
        attempt.gain.seqs
        for attempt in held.attempts
        if attempt.gain
        and attempt.assessment.delta
        and attempt.gain.start <= start
        and order_of(attempt.assessment) > order_of(signoff.assessment)
    ]
    return Mark(
        start=start,
        last_valid_on=signoff.reckoned_at(start).last_valid_on,
        revision=max(numbers, default=signoff.assessment.revision),
        rests_on=tuple(sorted(chain(signoff.gain.seqs, *later))),
    )


def _effective_at(case: Case, number: int) -> datetime:
    revision = case.task.revision(number)
    return case.clock.midnight(revision.effective_on) if revision else LONG_AGO
