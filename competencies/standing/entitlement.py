"""Who may write what: refusals, authorities, and the checks that kinds of entry share (R1.1, R2.2, R10). Pure."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from competencies.standing.calendar import INSTANT, clock_of, days_after
from competencies.standing.cover import is_night
from competencies.standing.facts import Fact, Run
from competencies.standing.rule import PersonRule
from competencies.standing.scopes import can_be_held
from competencies.vocabulary import AuthorityKind, Standing


@dataclass(frozen=True, slots=True, order=True)
class Refusal:
    """One reason why an entry may not be written: the rule's number, a short code, what the sentence needs.

    `params` are (name, value) pairs, values as text, sorted by name.
    """

    rule: str
    code: str
    params: tuple[tuple[str, str], ...] = ()


def refusal(rule: str, code: str, **params: object) -> Refusal:
    """Return a refusal with its parameters as text, in order of their names."""
    return Refusal(rule, code, tuple((name, str(params[name])) for name in sorted(params)))


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthorityGrant:
    """An authority of one person from a day to a day (both included; None: open), in an area (None: everywhere)."""

    kind: AuthorityKind
    from_on: date
    until_on: date | None = None
    area: str | None = None
    seq: int = 0

    def serves(self, area: str, on: date) -> bool:
        """Whether the authority holds in an area on a day."""
        in_time = self.from_on <= on and (self.until_on is None or on <= self.until_on)
        return in_time and self.area in {None, area}


def has_authority(grants: Iterable[AuthorityGrant], kinds: Iterable[AuthorityKind], area: str, on: date) -> bool:
    """Whether one of the grants gives one of the kinds of authority in an area on a day."""
    wanted = frozenset(kinds)
    return any(grant.kind in wanted and grant.serves(area, on) for grant in grants)


def in_the_future(fact: Fact, now: datetime) -> Iterator[Refusal]:
    """R2.6: nothing is dated in the future."""
    if fact.happened_at > now:
        yield refusal("R2.6", "future")


def own_entry(fact: Fact, rule: str) -> Iterator[Refusal]:
    """Nobody signs for themselves."""
    if fact.by == fact.person:
        yield refusal(rule, "own")


def without_reason(text: str, rule: str) -> Iterator[Refusal]:
    """R6 and R7: a reason is given in words."""
    if not text.strip():
        yield refusal(rule, "no_reason")


def wrong_place(fact: Fact, trainee: PersonRule) -> Iterator[Refusal]:
    """R12: the task can be held at the scope."""
    if not can_be_held(trainee.frame.tasks[fact.task], fact.scope):
        yield refusal("R12", "wrong_scope", scope=fact.scope)


def wrong_revision(rule: PersonRule, fact: Fact, number: int, *, is_current: bool = True) -> Iterator[Refusal]:
    """R4.1: the revision exists, was approved by then, and is in force or coming."""
    task = rule.frame.tasks[fact.task]
    issue, current = task.revision(number), task.revision_on(fact.on)
    if not task.revisions:
        return
    if issue is None or issue.approved_on > fact.on:
        yield refusal("R4.1", "unknown_revision", revision=number)
    elif is_current and current is not None and number < current.number:
        yield refusal("R4.1", "old_revision", revision=number, current=current.number)


def barred(fact: Fact, trainee: PersonRule) -> Iterator[Refusal]:
    """R10 and R9.7: the trainee may do the task on that date, and works here."""
    employment = trainee.employment
    if trainee.is_barred(fact.task, fact.on) and employment:
        yield refusal("R10.1", "age", until=employment.restricted_until)
    if last_day := trainee.left_before(fact.on):
        yield refusal("R9.7", "left", last_day=last_day)


def barred_at_night(run: Run, trainee: PersonRule) -> Iterator[Refusal]:
    """R10.3: no nights for a young worker."""
    employment, shift = trainee.employment, trainee.frame.shifts.get(run.shift)
    free_on = employment.restricted_until if employment else None
    if shift is not None and is_night(shift) and free_on is not None and run.on < free_on:
        yield refusal("R10.3", "night", until=free_on)


def in_conflict(one: PersonRule, other: PersonRule, on: date) -> bool:
    """R2.2: whether a conflict of interest between two people holds on a day; the newest of each cause decides."""
    declared = [fact for fact in one.conflicts if fact.other == other.person]
    declared += [fact for fact in other.conflicts if fact.other == one.person]
    newest = {fact.cause: fact for fact in sorted(declared, key=lambda fact: (fact.recorded_at, fact.seq))}
    return any(
        fact.valid_from <= on and (fact.valid_until is None or on <= fact.valid_until) for fact in newest.values()
    )


def not_entitled(fact: Fact, person: PersonRule, revision: int, rule: str) -> Iterator[Refusal]:
    """R1.1 and R2.2: the supervising or assessing person is in force, not in grace, and knows the revision."""
    clock = clock_of(person.frame.timezone)
    last_instant = clock.midnight(days_after(fact.on, 1)) - INSTANT
    moment = min(fact.happened_at, last_instant)
    standing = person.timeline(fact.task, fact.scope).at(moment).standing
    if standing is Standing.IN_GRACE:
        yield refusal(rule, "in_grace")
    elif not standing.is_in_force:
        yield refusal(rule, "not_in_force", standing=standing.value)
    elif not person.knows_revision(fact.task, fact.scope, revision, moment):
        yield refusal("R4.4", "delta_missing", revision=revision)
    if last_day := person.left_before(fact.on):
        yield refusal("R9.7", "person_left", last_day=last_day)
