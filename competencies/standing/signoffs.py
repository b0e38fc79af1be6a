"""Attempts, signatures and the sign-offs they make (R2.4 to R2.6, R3.1, R6.2, R6.4). Pure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from competencies.standing.calendar import FOR_EVER, add_months, days_after
from competencies.standing.case import Case, order_of
from competencies.standing.facts import Annulment, Assessment, Recognition, SecondSignature, Withdrawal
from competencies.standing.framework import Terms
from competencies.standing.spans import Gain
from competencies.vocabulary import Outcome, SecondRole


class State(StrEnum):
    """What became of an assessment."""

    SIGNED = "signed"
    UNSIGNED = "unsigned"
    NOT_YET_COMPETENT = "not_yet_competent"
    ANNULLED = "annulled"


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """An assessment with what became of it.

    `gain` is set once signed; `void_at` is when an unsigned one is void (after day 14, R2.4).
    """

    assessment: Assessment
    state: State
    gain: Gain | None = None
    void_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """A full assessment signed by all: it acts from `gain.start`; `ends_at` closes its validity and grace.

    `anchor_on` and `months` carry the chain (R3.1). `is_fresh` marks one after which nothing older holds: the first,
    or the return after a lapse or a withdrawal.
    """

    assessment: Assessment
    gain: Gain
    terms: Terms
    anchor_on: date
    months: int | None
    last_valid_on: date | None
    ends_at: datetime
    is_fresh: bool

    def holds_at(self, moment: datetime) -> bool:
        """Whether a moment lies between its effect and the end of its validity and grace."""
        return self.gain.start <= moment < self.ends_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """A case with its attempts in order and the sign-offs that govern it one after another."""

    case: Case
    attempts: tuple[Attempt, ...]
    signoffs: tuple[SignOff, ...]
    governing: tuple[SignOff, ...]

    @property
    def held_from(self) -> datetime:
        """Return when the first sign-off takes effect."""
        return self.governing[0].gain.start if self.governing else FOR_EVER

    def governing_at(self, moment: datetime) -> SignOff | None:
        """Return the newest sign-off in effect at a moment, whether it still holds or not."""
        return next((signoff for signoff in reversed(self.governing) if signoff.gain.start <= moment), None)

    def passes_after(self, assessment: Assessment) -> list[Attempt]:
        """Return the signed attempts made after one: a pass of a delta ends only a delta's not yet competent."""
        return [
            attempt
            for attempt in self.attempts
            if attempt.state is State.SIGNED
            and order_of(attempt.assessment) > order_of(assessment)
            and (assessment.delta or not attempt.assessment.delta)
        ]


def holding(case: Case) -> Holding:
    """Return the attempts and sign-offs of a case."""
    attempts = tuple(_attempt(case, assessment) for assessment in case.all_of(Assessment))
    signoffs = tuple(_signoffs(case, attempts))
    return Holding(case=case, attempts=attempts, signoffs=signoffs, governing=_governing(signoffs))


def earliest(gains: Iterable[Gain | None]) -> Gain | None:
    """Return the gain that acts first."""
    return min((gain for gain in gains if gain), key=lambda gain: (gain.start, gain.moment), default=None)


def _attempt(case: Case, assessment: Assessment) -> Attempt:
    if assessment.outcome is Outcome.NOT_YET_COMPETENT:
        return Attempt(assessment=assessment, state=State.NOT_YET_COMPETENT)
    if case.pointing_at(Annulment, assessment.seq):
        return Attempt(assessment=assessment, state=State.ANNULLED)
    last_day = days_after(assessment.on, case.policy_on(assessment.on).second_signature_days)
    signatures = needed_signatures(case, assessment, last_day)
    if signatures is None:
        void_at = case.clock.midnight(days_after(last_day, 1))
        return Attempt(assessment=assessment, state=State.UNSIGNED, void_at=void_at)
    return Attempt(assessment=assessment, state=State.SIGNED, gain=case.gain(assessment, *signatures))


def needed_signatures(case: Case, assessment: Assessment, last_day: date) -> list[SecondSignature] | None:
    """Return the signatures by which all second roles stand behind an assessment, or None (R2.4)."""
    missing: set[SecondRole] = set(case.task.criticality.second_roles)
    used: list[SecondSignature] = []
    for signature in case.pointing_at(SecondSignature, assessment.seq):
        if not missing:
            break
        in_time = assessment.on <= signature.on <= last_day
        if in_time and signature.by not in {assessment.by, assessment.person} and missing & signature.roles:
            missing -= signature.roles
            used.append(signature)
    return None if missing else used


def _signoffs(case: Case, attempts: Iterable[Attempt]) -> Iterable[SignOff]:
    """Yield the sign-offs in order of their assessments, each with its place in the chain."""
    before: SignOff | None = None
    for attempt in attempts:
        if attempt.gain is None or attempt.assessment.delta:
            continue
        before = _signoff(case, attempt.assessment, attempt.gain, before)
        yield before


def _signoff(case: Case, assessment: Assessment, gain: Gain, before: SignOff | None) -> SignOff:
    terms = case.terms_on(assessment.on)
    anchor_on, months, is_fresh = _chain(case, assessment, terms, before)
    normal = None if months is None else add_months(anchor_on, months)
    cut = _outside_end(case, assessment, before)
    last_valid_on = min((day for day in (normal, cut) if day), default=None)
    if cut and last_valid_on == cut:
        anchor_on, months = cut, 0
    return SignOff(
        assessment=assessment,
        gain=gain,
        terms=terms,
        anchor_on=anchor_on,
        months=months,
        last_valid_on=last_valid_on,
        ends_at=_ends_at(case, terms, last_valid_on),
        is_fresh=is_fresh,
    )


def _chain(case: Case, assessment: Assessment, terms: Terms, before: SignOff | None) -> tuple[date, int | None, bool]:
    """Return anchor, months since the anchor, and whether nothing older holds (R3.1, R6.2)."""
    on, validity = assessment.on, terms.validity_months
    if before is None or _withdrawn_between(case, before.assessment, assessment):
        return on, validity, True
    if before.last_valid_on is None:
        return on, validity, False
    if case.clock.midnight(on) >= before.ends_at:
        return on, validity, True
    opens_on = days_after(before.last_valid_on, -case.policy_on(on).due_window_days)
    if on < opens_on or validity is None or before.months is None:
        return on, validity, False
    return before.anchor_on, before.months + validity, False


def _withdrawn_between(case: Case, first: Assessment, second: Assessment) -> bool:
    return any(order_of(first) < order_of(fact) < order_of(second) for fact in case.all_of(Withdrawal))


def _outside_end(case: Case, assessment: Assessment, before: SignOff | None) -> date | None:
    """Return the end of the outside certificate that a sign-off rests on (R11)."""
    serving = [
        fact
        for fact in case.all_of(Recognition)
        if fact.on <= assessment.on and (before is None or order_of(fact) > order_of(before.assessment))
    ]
    return serving[-1].evidence_ends_on if serving else None


def grace_days(case: Case, terms: Terms, last_valid_on: date) -> int:
    """Return the days of grace after a last valid day; a critical task has the policy's only (R3.3)."""
    if terms.grace_days is not None and not case.is_critical:
        return terms.grace_days
    return case.policy_on(last_valid_on).grace_days.of(case.task.criticality)


def _ends_at(case: Case, terms: Terms, last_valid_on: date | None) -> datetime:
    if last_valid_on is None:
        return FOR_EVER
    return case.clock.midnight(days_after(last_valid_on, grace_days(case, terms, last_valid_on) + 1))


def _governing(signoffs: Sequence[SignOff]) -> tuple[SignOff, ...]:
    """Return the sign-offs by their effect; one overtaken by a later assessment signed sooner never governs."""
    found: list[SignOff] = []
    newest: tuple[datetime, int] | None = None
    for signoff in sorted(signoffs, key=lambda each: (each.gain.start, each.gain.moment, order_of(each.assessment))):
        if newest is None or order_of(signoff.assessment) > newest:
            newest = order_of(signoff.assessment)
            found.append(signoff)
    return tuple(found)
