"""Why the office may not decide something about a task: first trainers, class of change, terms (R4). Pure.

Each function takes what would be written and what is known before it, and returns every refusal at once.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from competencies.standing.calendar import clock_of, days_after
from competencies.standing.entitlement import (
    AuthorityGrant,
    Refusal,
    barred,
    has_authority,
    in_the_future,
    own_entry,
    refusal,
    wrong_place,
    wrong_revision,
)
from competencies.standing.facts import InitialTrainer
from competencies.standing.framework import Frame, Terms
from competencies.standing.revisions import initial_trainer_spans
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, ChangeClass

OFFICE = frozenset({AuthorityKind.COORDINATE})
# Who may agree as the second of two on what a procedure asks: somebody answerable for the work in the area.
AGREEING = frozenset(
    {
        AuthorityKind.COORDINATE,
        AuthorityKind.SUPERVISE,
        AuthorityKind.ASSESS,
        AuthorityKind.SIGN_FOOD,
        AuthorityKind.SIGN_SAFETY,
    }
)


def refuse_initial_trainer(
    naming: InitialTrainer,
    *,
    named: PersonRule,
    others: Iterable[PersonRule],
    grants: Iterable[AuthorityGrant],
    now: datetime,
) -> tuple[Refusal, ...]:
    """Return why this first trainer may not be named (R4.10). `grants` are those of the person who names.

    Somebody must be first only where nobody can teach it yet by a sign-off of their own: a new task, a new machine,
    a major revision that is approved. `others` are the rules of everybody with an entry on the task.
    """
    out = [*in_the_future(naming, now), *own_entry(naming, "R4.10"), *wrong_place(naming, named)]
    out += barred(naming, named)
    task = named.frame.tasks[naming.task]
    if naming.revision is not None:
        out += wrong_revision(named, naming, naming.revision)
    if not has_authority(grants, OFFICE, task.area, naming.on):
        out.append(refusal("R4.10", "no_authority", area=task.area))
    out += _named_before(naming, named)
    number = naming.revision or newest_approved(named.frame, naming.task, naming.on)
    teaching = [rule for rule in others if teaches_by_own_signoff(rule, naming, number)]
    if teaching:
        out.append(refusal("R4.10", "taught_already", count=len(teaching), revision=number))
    return tuple(out)


def newest_approved(frame: Frame, task: str, on: date) -> int:
    """Return the newest revision of a task that is approved on a day, in force or coming."""
    approved = [revision.number for revision in frame.tasks[task].revisions if revision.approved_on <= on]
    return max(approved, default=1)


def teaches_by_own_signoff(rule: PersonRule, naming: InitialTrainer, number: int) -> bool:
    """Whether a person holds the task there by a sign-off, and knows the revision, on the day of the naming."""
    task, scope, moment = naming.task, naming.scope, naming.happened_at
    if rule.holding(task, scope).governing_at(moment) is None or not rule.in_force_at(task, scope, moment):
        return False
    return rule.left_before(naming.on) is None and rule.has_learned(task, scope, number, moment)


def _named_before(naming: InitialTrainer, named: PersonRule) -> Iterator[Refusal]:
    """R4.10: after the 90 days only an own sign-off counts; being named twice for the same is no way around it."""
    case = named.holding(naming.task, naming.scope).case
    for span, earlier in initial_trainer_spans(case):
        if earlier.revision == naming.revision:
            yield refusal("R4.10", "named_before", until=days_after(case.clock.day(span.end), -1))


@dataclass(frozen=True, slots=True, kw_only=True)
class NewClass:
    """A decision of two people that a minor revision is a major one after all."""

    task: str
    revision: int
    by: int
    second: int
    on: date


def refuse_reclassification(
    decision: NewClass,
    *,
    frame: Frame,
    grants: Iterable[AuthorityGrant],
    second_grants: Iterable[AuthorityGrant],
) -> tuple[Refusal, ...]:
    """Return why a revision may not be made a major one (R4.1, R4.8)."""
    task = frame.tasks[decision.task]
    out = list(_two_people(decision.by, decision.second, "R4.1"))
    if not has_authority(grants, OFFICE, task.area, decision.on):
        out.append(refusal("R4.8", "no_authority", area=task.area))
    if not has_authority(second_grants, AGREEING, task.area, decision.on):
        out.append(refusal("R4.1", "second_no_authority", area=task.area))
    issue = task.revision(decision.revision)
    if issue is None:
        out.append(refusal("R4.8", "unknown_revision", revision=decision.revision))
    elif issue.change is ChangeClass.MAJOR:
        out.append(refusal("R4.8", "major_already", revision=decision.revision))
    elif not task.revisions or issue.number == min(each.number for each in task.revisions):
        out.append(refusal("R4.8", "first_revision", revision=decision.revision))
    return tuple(out)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewIssue:
    """A decision of two people to issue a procedure anew; `base` is the revision that it was made from."""

    task: str
    base: int
    approved_on: date
    effective_on: date
    touches: tuple[int, ...]
    criteria: int
    by: int
    second: int
    on: date


def refuse_issue(
    issue: NewIssue,
    *,
    frame: Frame,
    grants: Iterable[AuthorityGrant],
    second_grants: Iterable[AuthorityGrant],
) -> tuple[Refusal, ...]:
    """Return why a procedure may not be issued so (R4.1): by two people, forward, on what is the newest."""
    task = frame.tasks[issue.task]
    out = list(_two_people(issue.by, issue.second, "R4.1"))
    if not has_authority(grants, OFFICE, task.area, issue.on):
        out.append(refusal("R4.1", "no_authority", area=task.area))
    if not has_authority(second_grants, AGREEING, task.area, issue.on):
        out.append(refusal("R4.1", "second_no_authority", area=task.area))
    newest = max(task.revisions, key=lambda each: each.number, default=None)
    if newest is not None and newest.number != issue.base:
        out.append(refusal("R4.1", "issued_since", revision=newest.number))
    if newest is not None and issue.effective_on < newest.effective_on:
        out.append(refusal("R4.1", "issue_before_last", effective=newest.effective_on))
    if issue.effective_on < issue.on:
        out.append(refusal("R4.1", "issue_in_past", today=issue.on))
    if issue.approved_on > issue.on:
        out.append(refusal("R4.1", "approved_later", today=issue.on))
    out += [refusal("R4.1", "no_criterion", number=each) for each in issue.touches if not 0 < each <= issue.criteria]
    return tuple(out)


def _two_people(by: int, second: int, rule: str) -> Iterator[Refusal]:
    if by == second:
        yield refusal(rule, "two_people")


def refuse_terms(
    terms: Terms, *, task: str, frame: Frame, grants: Iterable[AuthorityGrant], now: datetime
) -> tuple[Refusal, ...]:
    """Return why a task's terms may not be changed so (R4.11): they work forward, and lean on no circle."""
    framed = frame.tasks[task]
    today = clock_of(frame.timezone).day(now)
    out: list[Refusal] = []
    if not has_authority(grants, OFFICE, framed.area, today):
        out.append(refusal("R4.11", "no_authority", area=framed.area))
    if terms.effective_on < today:
        out.append(refusal("R4.11", "terms_in_past", today=today))
    if later := [each.effective_on for each in framed.terms if each.effective_on > terms.effective_on]:
        out.append(refusal("R4.11", "terms_before_later", later=max(later)))
    if terms.applies_to_held_on is not None and terms.applies_to_held_on < terms.effective_on:
        out.append(refusal("R4.11", "decided_before_terms", effective=terms.effective_on))
    if terms.distinct_shifts > terms.runs:
        out.append(refusal("R1.3", "more_shifts_than_runs", runs=terms.runs))
    if terms.simulated_max > terms.runs:
        out.append(refusal("R1.7", "more_drills_than_runs", runs=terms.runs))
    out += [
        refusal("R1.5", "range_beyond_runs", name=name, runs=terms.runs)
        for name, wanted in sorted(terms.ranges.items())
        if wanted > terms.runs
    ]
    out += [refusal("R6.3", "circle", task=code) for code in _leaning_back(frame, task, terms)]
    return tuple(out)


def _leaning_back(frame: Frame, task: str, terms: Terms) -> list[str]:
    """Return those of the prerequisites that themselves build on the task, directly or through others."""
    found = []
    for code in terms.prerequisites:
        seen: set[str] = set()
        waiting = [code]
        while waiting:
            current = waiting.pop()
            if current not in seen and current in frame.tasks:
                seen.add(current)
                waiting.extend(frame.tasks[current].terms[-1].prerequisites)
        if task in seen or code == task:
            found.append(code)
    return found
