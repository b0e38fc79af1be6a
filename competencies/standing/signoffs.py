"""Attempts, signatures and the sign-offs they make (R2.4 to R2.6, R3.1, R6.2, R6.4). Pure."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum
from itertools import zip_longest
from operator import itemgetter

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
class Reckoning:
    """How long a sign-off is valid by some terms, as reckoned from `start` on; `ends_at` closes validity and grace.

    `anchor_on` and `months` carry the chain (R3.1). `lost_after` is the day from which the time since a lapse counts:
    the last valid day, or the day before a decision by which it had passed already.
    """

    start: datetime
    terms: Terms
    anchor_on: date
    months: int | None
    last_valid_on: date | None
    lost_after: date | None
    ends_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """A full assessment signed by all: it acts from `gain.start`, under the `terms` it was given.

    `reckonings` say how long: first by those terms, then by later ones that a dated decision extends to it (R4.11).
    `is_fresh` marks one after which nothing older holds: the first, or the return after a lapse or a withdrawal.
    """

    assessment: Assessment
    gain: Gain
    terms: Terms
    reckonings: tuple[Reckoning, ...]
    is_fresh: bool

    @property
    def ends_at(self) -> datetime:
        """Return when it ends: no decision takes back the days before it."""
        newest = self.reckonings[-1]
        return max(newest.ends_at, newest.start)

    def reckoned_at(self, moment: datetime) -> Reckoning:
        """Return how long it is valid, as reckoned at a moment."""
        return next((each for each in reversed(self.reckonings) if each.start <= moment), self.reckonings[0])

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

    def governed(self) -> Iterator[tuple[SignOff, SignOff | None]]:
        """Yield each governing sign-off with the one that follows it."""
        yield from zip_longest(self.governing, self.governing[1:])

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
    anchor_on, months, is_fresh = _chain(case, assessment, before)
    link = _Link(anchor_on, months, _outside_end(case, assessment, before))
    return SignOff(
        assessment=assessment,
        gain=gain,
        terms=terms,
        reckonings=tuple(_reckonings(case, terms, link, gain)),
        is_fresh=is_fresh,
    )


@dataclass(frozen=True, slots=True)
class _Link:
    """A sign-off's place in its chain: the anchor, the months given before it, and an outside certificate's end."""

    anchor_on: date
    months: int
    cut_on: date | None


def _reckonings(case: Case, terms: Terms, link: _Link, gain: Gain) -> Iterator[Reckoning]:
    """Yield how long a sign-off is valid: under its own terms, then from each decision that reaches it (R4.11).

    A decision takes away no day before it, and brings back nothing that has ended.
    """
    newest = _reckoning(case, terms, link, gain.start)
    yield newest
    for decided_on, later in _decided_after(case, terms):
        start = max(case.clock.midnight(decided_on), gain.start)
        if later.effective_on < newest.terms.effective_on:
            continue
        if start >= max(newest.ends_at, newest.start):
            return
        newest = _reckoning(case, later, link, start)
        if newest.last_valid_on and start > gain.start:
            newest = replace(newest, lost_after=max(newest.last_valid_on, days_after(decided_on, -1)))
        yield newest


def _decided_after(case: Case, terms: Terms) -> list[tuple[date, Terms]]:
    """Return the later terms that a decision extends to sign-offs given under `terms`, by the day they reach them."""
    own = case.task.terms.index(terms)
    later = [(each.applies_to_held_on, each) for each in case.task.terms[own + 1 :] if each.applies_to_held_on]
    return sorted(later, key=itemgetter(0))


def _reckoning(case: Case, terms: Terms, link: _Link, start: datetime) -> Reckoning:
    anchor_on, cut = link.anchor_on, link.cut_on
    months = None if terms.validity_months is None else link.months + terms.validity_months
    normal = None if months is None else add_months(anchor_on, months)
    last_valid_on = min((day for day in (normal, cut) if day), default=None)
    if cut and last_valid_on == cut:
        anchor_on, months = cut, 0
    return Reckoning(
        start=start,
        terms=terms,
        anchor_on=anchor_on,
        months=months,
        last_valid_on=last_valid_on,
        lost_after=last_valid_on,
        ends_at=_ends_at(case, terms, last_valid_on),
    )


def _chain(case: Case, assessment: Assessment, before: SignOff | None) -> tuple[date, int, bool]:
    """Return anchor, months given since the anchor, and whether nothing older holds (R3.1, R6.2)."""
    on = assessment.on
    if before is None or _withdrawn_between(case, before.assessment, assessment):
        return on, 0, True
    held = before.reckoned_at(case.clock.midnight(on))
    if held.last_valid_on is None:
        return on, 0, False
    if case.clock.midnight(on) >= before.ends_at:
        return on, 0, True
    opens_on = days_after(held.last_valid_on, -case.policy_on(on).due_window_days)
    if on < opens_on:
        return on, 0, False
    return held.anchor_on, held.months or 0, False


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
