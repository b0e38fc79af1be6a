"""Why a sign-off may not be annulled, doubted, looked at again or appealed against, nor a conflict declared. Pure.

R2.2, R2.7, R5.2, R6.4. As in `refusals`: each function takes the entry as it would be written and what is known before
it, and returns every reason at once.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime

from competencies.standing.appeals import next_attempt
from competencies.standing.doubts import open_review
from competencies.standing.entitlement import (
    AuthorityGrant,
    Refusal,
    has_authority,
    in_conflict,
    in_the_future,
    not_entitled,
    own_entry,
    refusal,
    without_reason,
)
from competencies.standing.facts import (
    Annulment,
    Appeal,
    AttemptsReviewed,
    Conflict,
    Fact,
    OutcomeSeen,
    Reverification,
    Review,
)
from competencies.standing.refusals import IN_A_ROW, trailing
from competencies.standing.rule import PersonRule
from competencies.standing.signoffs import Attempt, State
from competencies.vocabulary import AuthorityKind

_COORDINATES = frozenset({AuthorityKind.COORDINATE})
_ASSESSES = frozenset({AuthorityKind.ASSESS})


def refuse_annulment(
    annulment: Annulment, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this sign-off may not be annulled (R6.4): a coordinator for the area does it, never of an own one."""
    out = [*in_the_future(annulment, now), *without_reason(reason, "R6.4")]
    out += _no_authority(annulment, "R6.4", _COORDINATES, holder, grants)
    attempt = _attempt(annulment, annulment.of, holder)
    if attempt is not None and attempt.state is State.ANNULLED:
        return (*out, refusal("R6.4", "already_annulled"))
    if attempt is None or attempt.state is State.NOT_YET_COMPETENT:
        return (*out, refusal("R6.4", "not_a_signoff"))
    if annulment.by in {attempt.assessment.by, attempt.assessment.person}:
        out.append(refusal("R6.4", "own_signoff"))
    if annulment.unentitled_from is not None and annulment.unentitled_from > attempt.assessment.on:
        out.append(refusal("R6.4", "unentitled_later", assessed=attempt.assessment.on))
    return tuple(out)


def refuse_review(
    review: Review, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this sign-off may not be put under review (R6.4)."""
    out = [*in_the_future(review, now), *own_entry(review, "R6.4")]
    out += _no_authority(review, "R6.4", _COORDINATES, holder, grants)
    attempt = _attempt(review, review.of, holder)
    if attempt is None or attempt.state not in {State.SIGNED, State.UNSIGNED}:
        out.append(refusal("R6.4", "not_a_signoff"))
    return tuple(out)


def refuse_reverification(
    verified: Reverification,
    *,
    holder: PersonRule,
    assessor: PersonRule,
    grants: Iterable[AuthorityGrant],
    now: datetime,
) -> tuple[Refusal, ...]:
    """Return why this sign-off may not be said to stand (R6.4).

    Another assessor for the area looks at it again, in force that day and without a conflict of interest; `grants`
    are theirs.
    """
    out = [*in_the_future(verified, now), *own_entry(verified, "R6.4")]
    out += _no_authority(verified, "R6.4", _ASSESSES, holder, grants)
    attempt = _attempt(verified, verified.of, holder)
    held = holder.holding(verified.task, verified.scope)
    if attempt is None or open_review(held, attempt.assessment) is None:
        return (*out, refusal("R6.4", "not_under_review"))
    out += not_entitled(verified, assessor, attempt.assessment.revision, "R6.4")
    if verified.by == attempt.assessment.by:
        out.append(refusal("R6.4", "assessed_it"))
    if in_conflict(holder, assessor, verified.on):
        out.append(refusal("R2.2", "conflict"))
    return tuple(out)


def refuse_attempts_review(
    review: AttemptsReviewed, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why a coordinator's review before a fourth attempt may not be recorded (R5.2)."""
    out = [*in_the_future(review, now), *own_entry(review, "R5.2")]
    out += _no_authority(review, "R5.2", _COORDINATES, trainee, grants)
    attempts = trainee.holding(review.task, review.scope).attempts
    failed = trailing([each for each in attempts if each.assessment.happened_at <= review.happened_at])
    if len(failed) < IN_A_ROW:
        out.append(refusal("R5.2", "no_review_due", attempts=IN_A_ROW))
    return tuple(out)


def refuse_outcome_seen(seen: OutcomeSeen, *, trainee: PersonRule, now: datetime) -> tuple[Refusal, ...]:
    """Return why an outcome may not be marked as seen (R2.7)."""
    out = [*in_the_future(seen, now), *_not_the_trainee(seen)]
    if _attempt(seen, seen.of, trainee) is None:
        return (*out, refusal("R2.7", "unknown_entry"))
    if trainee.holding(seen.task, seen.scope).case.pointing_at(OutcomeSeen, seen.of):
        out.append(refusal("R2.7", "already_seen"))
    return tuple(out)


def refuse_appeal(appeal: Appeal, *, trainee: PersonRule, now: datetime) -> tuple[Refusal, ...]:
    """Return why an appeal may not be made (R2.7)."""
    out = [*in_the_future(appeal, now), *_not_the_trainee(appeal)]
    attempt = _attempt(appeal, appeal.of, trainee)
    if attempt is None or attempt.state is not State.NOT_YET_COMPETENT:
        return (*out, refusal("R2.7", "nothing_to_appeal"))
    held = trainee.holding(appeal.task, appeal.scope)
    if held.case.pointing_at(Appeal, appeal.of):
        out.append(refusal("R2.7", "already_appealed"))
    if next_attempt(held, attempt.assessment) is not None:
        out.append(refusal("R2.7", "decided_since"))
    return tuple(out)


def refuse_conflict(conflict: Conflict, *, grants: Iterable[AuthorityGrant], now: datetime) -> tuple[Refusal, ...]:
    """Return why a conflict of interest may not be declared (R2.2); `grants` are those of who declares it.

    Either of the two people declares it, or a coordinator. That it ends, by which a bar falls, only a coordinator
    says who is neither of the two.
    """
    out = list(in_the_future(conflict, now))
    pair = {conflict.person, conflict.other}
    coordinates = any(grant.kind in _COORDINATES and grant.serves(grant.area or "", conflict.on) for grant in grants)
    if len(pair) == 1:
        out.append(refusal("R2.2", "conflict_with_oneself"))
    if conflict.by not in pair and not coordinates:
        out.append(refusal("R2.2", "not_between_them"))
    if conflict.valid_until is not None:
        if conflict.by in pair or not coordinates:
            out.append(refusal("R2.2", "conflict_end"))
        if conflict.valid_until < conflict.valid_from:
            out.append(refusal("R2.2", "ends_before_it_begins"))
    return tuple(out)


def _attempt(fact: Fact, of: int, person: PersonRule) -> Attempt | None:
    attempts = person.holding(fact.task, fact.scope).attempts
    return next((each for each in attempts if each.assessment.seq == of), None)


def _not_the_trainee(fact: Fact) -> Iterator[Refusal]:
    if fact.by != fact.person:
        yield refusal("R2.7", "not_the_trainee")


def _no_authority(
    fact: Fact, rule: str, kinds: frozenset[AuthorityKind], person: PersonRule, grants: Iterable[AuthorityGrant]
) -> Iterator[Refusal]:
    area = person.frame.tasks[fact.task].area
    if not has_authority(grants, kinds, area, fact.on):
        yield refusal(rule, "no_authority", area=area)
