"""Why somebody may not be stopped, or asked for a check, by an entry (R3.7, R6). Pure; see `refusals`."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from competencies.standing.entitlement import (
    AuthorityGrant,
    Refusal,
    has_authority,
    in_the_future,
    own_entry,
    refusal,
    without_reason,
)
from competencies.standing.facts import CheckOwed, Fact, Lifting, Suspension, Withdrawal
from competencies.standing.purpose import withdrawn_at
from competencies.standing.revisions import initial_trainer_spans
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind

_MAY_STOP = frozenset(
    {
        AuthorityKind.SUPERVISE,
        AuthorityKind.COORDINATE,
        AuthorityKind.ASSESS,
        AuthorityKind.SIGN_FOOD,
        AuthorityKind.SIGN_SAFETY,
    }
)


def refuse_suspension(
    suspension: Suspension, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be recorded (R6.1)."""
    return tuple(_stop(suspension, "R6.1", holder, grants, now, reason))


def refuse_withdrawal(
    withdrawal: Withdrawal, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this withdrawal may not be recorded (R6.2)."""
    out = list(_stop(withdrawal, "R6.2", holder, grants, now, reason))
    if withdrawn_at(holder.holding(withdrawal.task, withdrawal.scope), withdrawal.happened_at):
        out.append(refusal("R6.2", "already_withdrawn"))
    return tuple(out)


def refuse_check_owed(
    owed: CheckOwed, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this extra check may not be asked for (R3.7); its cause says why, so no reason is wanted in words."""
    return tuple(_stoppable(owed, "R3.7", holder, grants, now))


def refuse_lifting(
    lifting: Lifting, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be lifted (R6.1)."""
    out = [*in_the_future(lifting, now), *own_entry(lifting, "R6.1"), *_stopper(lifting, "R6.1", holder, grants)]
    case = holder.holding(lifting.task, lifting.scope).case
    suspended = next((fact for fact in case.all_of(Suspension) if fact.seq == lifting.of), None)
    if suspended is None or case.pointing_at(Lifting, lifting.of):
        out.append(refusal("R6.1", "not_suspended"))
    elif lifting.happened_at < suspended.happened_at:
        out.append(refusal("R6.1", "before_suspension"))
    return tuple(out)


def _stop(
    fact: Fact, rule: str, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, text: str
) -> Iterator[Refusal]:
    """R6: who stops a person says why, is not that person, may do so, and there is something to stop."""
    yield from without_reason(text, rule)
    yield from _stoppable(fact, rule, holder, grants, now)


def _stoppable(
    fact: Fact, rule: str, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> Iterator[Refusal]:
    yield from in_the_future(fact, now)
    yield from own_entry(fact, rule)
    yield from _stopper(fact, rule, holder, grants)
    held = holder.holding(fact.task, fact.scope)
    if held.governing_at(fact.happened_at) is None and not initial_trainer_spans(held.case):
        yield refusal(rule, "not_held")


def _stopper(fact: Fact, rule: str, holder: PersonRule, grants: Iterable[AuthorityGrant]) -> Iterator[Refusal]:
    area = holder.frame.tasks[fact.task].area
    if not has_authority(grants, _MAY_STOP, area, fact.on):
        yield refusal(rule, "no_authority", area=area)
