"""Why an entry may not be written: all refusals at once, judged at writing and never again (R1, R2, R5, R6, R7). Pure.

Each function takes the entry as it would be written (its `seq` does not matter).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from competencies.standing.facts import (
    Acknowledgement,
    Assessment,
    Check,
    Correction,
    Fact,
    Lifting,
    Recognition,
    Run,
    SecondSignature,
    Suspension,
    Withdrawal,
)
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind


@dataclass(frozen=True, slots=True)
class Refusal:
    """One reason why an entry may not be written: the rule's number, a short code, what the sentence needs.

    `params` are (name, value) pairs, values as text, sorted by name.
    """

    rule: str
    code: str
    params: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthorityGrant:
    """An authority of one person from a day to a day (None: open), in an area (None: the whole plant)."""

    kind: AuthorityKind
    from_on: date
    until_on: date | None = None
    area: str | None = None
    seq: int = 0


def refuse_run(run: Run, *, trainee: PersonRule, supervisor: PersonRule, now: datetime) -> tuple[Refusal, ...]:
    """Return why this run may not be recorded (R1.1, R10)."""
    raise NotImplementedError


def refuse_assessment(
    assessment: Assessment,
    *,
    trainee: PersonRule,
    assessor: PersonRule,
    grants: Iterable[AuthorityGrant],
    now: datetime,
    conflict: bool = False,
) -> tuple[Refusal, ...]:
    """Return why this assessment may not be recorded (R2.1 to R2.6, R5.2, R6.2). `grants` are the assessor's."""
    raise NotImplementedError


def refuse_second_signature(
    signature: SecondSignature, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this second signature may not be recorded (R2.4). `grants` are the signing person's."""
    raise NotImplementedError


def refuse_acknowledgement(
    acknowledgement: Acknowledgement, *, holder: PersonRule, now: datetime
) -> tuple[Refusal, ...]:
    """Return why this acknowledgement may not be recorded (R4.2)."""
    raise NotImplementedError


def refuse_suspension(
    suspension: Suspension, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be recorded (R6.1)."""
    raise NotImplementedError


def refuse_lifting(
    lifting: Lifting, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this suspension may not be lifted (R6.1)."""
    raise NotImplementedError


def refuse_withdrawal(
    withdrawal: Withdrawal, *, holder: PersonRule, grants: Iterable[AuthorityGrant], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this withdrawal may not be recorded (R6.2)."""
    raise NotImplementedError


def refuse_correction(
    correction: Correction, *, facts: Iterable[Fact], now: datetime, reason: str
) -> tuple[Refusal, ...]:
    """Return why this correction may not be recorded (R7). `facts` are the person's known facts, corrections too."""
    raise NotImplementedError


def refuse_recognition(
    recognition: Recognition, *, trainee: PersonRule, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why this recognition may not be recorded (R11)."""
    raise NotImplementedError


def refuse_check(check: Check, *, now: datetime) -> tuple[Refusal, ...]:
    """Return why this calculation check may not be recorded."""
    raise NotImplementedError
