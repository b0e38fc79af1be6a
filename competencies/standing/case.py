"""One person's facts sorted by what they concern, so that every rule finds its own in order. Pure."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TypeVar, cast

from competencies.standing.belonging import belonging
from competencies.standing.calendar import FOR_EVER, LONG_AGO, Clock, clock_of
from competencies.standing.facts import (
    Absence,
    Check,
    Conflict,
    Correction,
    Employment,
    Fact,
    Moderation,
    Scope,
    UnitDecision,
    UnitReported,
)
from competencies.standing.framework import Frame, Policy, TaskFrame, Terms
from competencies.standing.live import corrected, live, recorded_late_on
from competencies.standing.spans import Gain

Key = tuple[str, Scope]
FactKind = TypeVar("FactKind", bound=Fact)
_OF_UNITS = (UnitDecision, UnitReported, Moderation)
_OF_THE_PERSON = (Employment, Absence, Check, Conflict, *_OF_UNITS)


@dataclass(slots=True)
class Case:
    """One task in one scope for one person, with the standing facts on it in order of their moments.

    `pointing` holds the facts that point at another entry, by kind and that entry's place.
    """

    person: int
    task: TaskFrame
    scope: Scope
    frame: Frame
    clock: Clock
    facts: dict[type[Fact], list[Fact]] = field(default_factory=lambda: defaultdict(list))
    pointing: dict[tuple[type[Fact], int], list[Fact]] = field(default_factory=lambda: defaultdict(list))

    @property
    def is_critical(self) -> bool:
        """Whether a second signature is asked for."""
        return self.task.criticality.is_critical

    def all_of(self, kind: type[FactKind]) -> list[FactKind]:
        """Return the facts of a kind in order."""
        return cast("list[FactKind]", self.facts.get(kind, []))

    def pointing_at(self, kind: type[FactKind], seq: int) -> list[FactKind]:
        """Return the facts of a kind that point at an entry, in order."""
        return cast("list[FactKind]", self.pointing.get((kind, seq), []))

    def terms_on(self, day: date) -> Terms:
        """Return the terms that a day is under."""
        return self.task.terms_on(day)

    def terms_in_time(self) -> list[tuple[datetime, datetime, Terms]]:
        """Return each issue of the terms with the stretch in which it is the newest; the first holds since ever."""
        starts = [LONG_AGO, *(self.clock.midnight(terms.effective_on) for terms in self.task.terms[1:])]
        return list(zip(starts, [*starts[1:], FOR_EVER], self.task.terms, strict=True))

    def policy_on(self, day: date) -> Policy:
        """Return the policy that a day is under."""
        return self.frame.policy_on(day)

    def gain(self, *facts: Fact) -> Gain:
        """Return the gain that is complete with the last of the facts.

        Recorded up to seven days after, an entry acts on its own date; recorded later, on the recording date (R2.6).
        """
        moments = [self._effective_at(fact) for fact in facts]
        day, moment = max(moments)
        return Gain(self.clock.midnight(day), moment, tuple(fact.seq for fact in facts))

    def _effective_at(self, fact: Fact) -> tuple[date, datetime]:
        late_on = recorded_late_on(self.frame, happened_on=fact.on, recorded_at=fact.written_at)
        return (late_on, fact.written_at) if late_on else (fact.on, fact.happened_at)


@dataclass(slots=True)
class PersonFacts:
    """A person's standing facts: `cases` by task and scope, and those that concern the person as a whole.

    `spells` are the times of employment in order: somebody who left may come back.
    `of_units` are the decisions on units with their reports and moderations; `struck` tells by entry when it was
    corrected.
    """

    cases: dict[Key, Case]
    spells: tuple[Employment, ...]
    absences: tuple[Absence, ...]
    checks: dict[str, list[Check]]
    of_units: tuple[Fact, ...]
    struck: dict[int, datetime]
    conflicts: tuple[Conflict, ...]


def sorted_facts(person: int, facts: Iterable[Fact], frame: Frame) -> PersonFacts:
    """Return the facts that stand (R7), sorted by what they concern; the order they came in does not matter."""
    own = belonging(person, facts)
    standing = sorted(live(own), key=order_of)
    keys = {fact.seq: (fact.task, fact.scope) for fact in standing}
    clock = clock_of(frame.timezone)
    cases: dict[Key, Case] = {}
    for fact in standing:
        of = getattr(fact, "of", None)
        task, scope = keys.get(of, ("", fact.scope)) if of is not None else (fact.task, fact.scope)
        if task not in frame.tasks or isinstance(fact, _OF_THE_PERSON):
            continue
        case = cases.get((task, scope))
        if case is None:
            case = cases[task, scope] = Case(person, frame.tasks[task], scope, frame, clock)
        case.facts[type(fact)].append(fact)
        if of is not None:
            case.pointing[type(fact), of].append(fact)
    return PersonFacts(cases, _spells(standing), *_of_the_person(standing), _struck(own), _conflicts(standing))


def order_of(fact: Fact) -> tuple[datetime, int]:
    """Return the place of a fact in the order of things on the floor."""
    return fact.happened_at, fact.place


def _spells(facts: Iterable[Fact]) -> tuple[Employment, ...]:
    """Return the times of employment in order, each as it is known newest (R9.7).

    An entry that starts after the last day known so far tells of a return, and leaves the time before as it was.
    """
    spells: list[Employment] = []
    found = (fact for fact in facts if isinstance(fact, Employment))
    for fact in sorted(found, key=lambda fact: (fact.recorded_at, fact.seq)):
        last_day = spells[-1].last_day if spells else None
        if spells and not (last_day and fact.started_on and fact.started_on > last_day):
            spells.pop()
        spells.append(fact)
    return tuple(spells)


def _of_the_person(
    facts: list[Fact],
) -> tuple[tuple[Absence, ...], dict[str, list[Check]], tuple[Fact, ...]]:
    checks: dict[str, list[Check]] = defaultdict(list)
    for fact in facts:
        if isinstance(fact, Check):
            checks[fact.calculation].append(fact)
    absences = tuple(fact for fact in facts if isinstance(fact, Absence))
    return absences, checks, tuple(fact for fact in facts if isinstance(fact, _OF_UNITS))


def _conflicts(facts: list[Fact]) -> tuple[Conflict, ...]:
    return tuple(fact for fact in facts if isinstance(fact, Conflict))


def _struck(facts: list[Fact]) -> dict[int, datetime]:
    out = corrected(facts)
    return {fact.of: fact.happened_at for fact in facts if isinstance(fact, Correction) and fact.seq not in out}
