"""What was decided about the person: checks, attempts without a sign-off, stops, corrections."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

from competencies.ledger.reading import KINDS
from competencies.queries.records.parts import AttemptLine, CheckLine, CorrectionLine, EventLine
from competencies.queries.records.sources import Sources
from competencies.standing.facts import (
    Annulment,
    Appeal,
    AttemptsReviewed,
    CheckOwed,
    Correction,
    Fact,
    Lifting,
    Recognition,
    Reverification,
    Review,
    Suspension,
    Withdrawal,
)
from competencies.standing.live import live
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import Attempt, State
from competencies.vocabulary import EntryKind, Judgement

EVENTS: Final = (
    *(Recognition, Suspension, Lifting, Withdrawal, CheckOwed),
    *(Annulment, Review, Reverification, AttemptsReviewed, Appeal),
)


def check_lines(sources: Sources, rule: PersonRule, on: date) -> tuple[CheckLine, ...]:
    """Return the calculation checks that were passed by the end of the day, oldest first."""
    passed = [each for checks in rule.checks.values() for each in checks if each.passed and each.on <= on]
    return tuple(
        CheckLine(
            seq=each.seq,
            on=each.on,
            calculation=each.calculation,
            right=sources.entries[each.seq].get("right"),
            problems=sources.entries[each.seq].get("problems"),
            signed=sources.signed(each.seq),
        )
        for each in sorted(passed, key=lambda check: (check.on, check.seq))
    )


def attempt_lines(sources: Sources, rule: PersonRule, on: date) -> tuple[AttemptLine, ...]:
    """Return the assessments that gave no sign-off by the end of the day, oldest first."""
    places = rule.keys()
    attempts = [attempt for place in places for attempt in rule.holding(*place).attempts]
    found = [each for each in attempts if each.assessment.on <= on and _gave_nothing(rule, each, on)]
    found.sort(key=lambda each: (each.assessment.on, each.assessment.seq))
    return tuple(_attempt_line(sources, each) for each in found)


def _gave_nothing(rule: PersonRule, attempt: Attempt, on: date) -> bool:
    if attempt.state is State.UNSIGNED:
        # Still waiting for its second signature: that is a standing, not yet a void attempt.
        case = rule.holding(attempt.assessment.task, attempt.assessment.scope).case
        return attempt.void_at is not None and attempt.void_at <= case.clock.midnight(on)
    return attempt.state is not State.SIGNED


def _attempt_line(sources: Sources, attempt: Attempt) -> AttemptLine:
    fact = attempt.assessment
    words = sources.criteria.get((fact.task, fact.revision), {})
    judged = sorted(fact.judged.items())
    return AttemptLine(
        seq=fact.seq,
        on=fact.on,
        task=fact.task,
        scope=fact.scope,
        revision=fact.revision,
        state=attempt.state,
        open_criteria=tuple(
            (number, words.get(number, ""), judgement)
            for number, judgement in judged
            if judgement is not Judgement.MET
        ),
        feedback=sources.text(fact.seq, "feedback"),
        practise=sources.text(fact.seq, "practise"),
        signed=sources.signed(fact.seq),
    )


def event_lines(sources: Sources, facts: Iterable[Fact], on: date) -> tuple[EventLine, ...]:
    """Return the decisions that changed a standing by the end of the day, oldest first; corrected ones left out."""
    standing = list(live(facts))
    by_place = {fact.seq: fact for fact in standing}
    return tuple(
        _event_line(sources, fact, by_place) for fact in standing if isinstance(fact, EVENTS) and fact.on <= on
    )


def _event_line(sources: Sources, fact: Fact, by_place: Mapping[int, Fact]) -> EventLine:
    of: int | None = getattr(fact, "of", None)
    target = by_place.get(of, fact) if of is not None else fact
    return EventLine(
        seq=fact.seq,
        kind=KINDS[type(fact)],
        on=fact.on,
        task=fact.task or target.task,
        scope=fact.scope if fact.task else target.scope,
        of=of,
        note=sources.text(fact.seq, "note") or sources.text(fact.seq, "remark"),
        signed=sources.signed(fact.seq),
    )


def correction_lines(sources: Sources, facts: Iterable[Fact]) -> tuple[CorrectionLine, ...]:
    """Return the corrections that are known, oldest first: each with what it says was wrong (R7)."""
    known = list(facts)
    by_place = {fact.seq: fact for fact in known}
    found = []
    for fact in known:
        if isinstance(fact, Correction):
            target = by_place.get(fact.of)
            found.append(
                CorrectionLine(
                    seq=fact.seq,
                    of=fact.of,
                    of_kind=_kind_of(target),
                    of_on=target.on if target else None,
                    task=target.task if target else fact.task,
                    scope=target.scope if target else fact.scope,
                    on=fact.on,
                    cause=sources.entries[fact.seq].get("reason", ""),
                    note=sources.text(fact.seq, "note"),
                    signed=sources.signed(fact.seq),
                )
            )
    return tuple(found)


def _kind_of(fact: Fact | None) -> EntryKind | None:
    return KINDS[type(fact)] if fact is not None else None
