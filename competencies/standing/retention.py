"""How long a record is kept, and what a legal hold keeps back (R14). Pure."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from competencies.standing.calendar import add_months
from competencies.standing.facts import SITE, Scope
from competencies.standing.framework import Policy


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """An open legal hold: what is left open (no people, no task, no line, no day) covers everything there."""

    seq: int
    incident: str
    people: frozenset[int] = frozenset()
    task: str = ""
    line: str = ""
    from_on: date | None = None
    until_on: date | None = None

    def covers(self, entry: "Kept") -> bool:
        """Whether an entry must be kept for it. One that belongs to no line may have happened at any of them."""
        if self.people and not self.people & entry.people:
            return False
        if self.task and self.task != entry.task:
            return False
        if self.line and entry.scope.line and self.line != entry.scope.line:
            return False
        starts_in = self.from_on is None or self.from_on <= entry.on
        return starts_in and (self.until_on is None or entry.on <= self.until_on)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What retention needs to know of a ledger entry: whom it tells of, on what task and where, and when."""

    people: frozenset[int]
    on: date
    task: str = ""
    scope: Scope = SITE


def holding_back(holds: Iterable[Hold], entry: Kept) -> list[Hold]:
    """Return the holds that keep an entry back."""
    return [hold for hold in holds if hold.covers(entry)]


def evidence_kept_until(judged_on: date, policy: Policy) -> date:
    """Return the last day on which the evidence of a judgement is kept whatever happens: 24 months after it.

    >>> evidence_kept_until(date(2024, 2, 29), Policy())
    datetime.date(2026, 2, 28)
    """
    return add_months(judged_on, policy.evidence_months)


def evidence_is_due(judged_on: date, policy: Policy, *, moderated_on: date | None, on: date) -> bool:
    """Whether evidence may go on a day: its months are over, and a moderation has been held since the judgement.

    `moderated_on` is the day of the newest moderation; the plant may decide not to wait for one.
    """
    if on <= evidence_kept_until(judged_on, policy):
        return False
    return not policy.evidence_awaits_moderation or (moderated_on is not None and moderated_on >= judged_on)


def record_kept_until(last_day: date, policy: Policy) -> date:
    """Return the last day on which a leaver's sign-off facts are kept with the name: employment and three years.

    >>> record_kept_until(date(2022, 6, 30), Policy())
    datetime.date(2025, 6, 30)
    """
    return add_months(last_day, policy.record_after_leaving_months)


def record_is_due(last_day: date | None, policy: Policy, *, on: date) -> bool:
    """Whether the name of a person may go on a day; never while the person works here."""
    return last_day is not None and on > record_kept_until(last_day, policy)
