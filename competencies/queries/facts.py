"""Reads the ledger into the facts and the rule of a person."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from datetime import datetime

from django.db.models import Q

from competencies.ledger.reading import facts_of
from competencies.models import Authority, LedgerEntry, Person
from competencies.queries.frame import Dependents, frame_of
from competencies.standing.belonging import belonging, changes_in, kin_of
from competencies.standing.facts import (
    Assessment,
    Correction,
    Fact,
    PeopleJoined,
    PeopleParted,
    Performance,
    Run,
    Scope,
)
from competencies.standing.framework import Frame
from competencies.standing.live import known_at, known_frame
from competencies.standing.refusals import AuthorityGrant
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, EntryKind

# Showing or judging a task is doing it: it keeps the one who shows from going stale.
KEEPS_RECENT = (EntryKind.RUN, EntryKind.ASSESSMENT)
# These tell of a second person as well: of who watched what is corrected, of the other of two records.
TELLS_OF_OTHER = (EntryKind.CORRECTION, EntryKind.PEOPLE_JOINED, EntryKind.PEOPLE_PARTED)


@dataclass(slots=True)
class _Kept:
    """What has been read of the ledger so far: facts by person, and the rules made from them."""

    facts: dict[int, list[Fact]] = field(default_factory=lambda: defaultdict(list))
    rules: dict[int, tuple[int, PersonRule]] = field(default_factory=dict)
    dependents: Dependents | None = None
    size: int = 0

    def read_on(self) -> None:
        """Read the entries that were appended since."""
        rows = list(LedgerEntry.objects.filter(seq__gte=self.size).order_by("seq"))
        if rows:
            self.size = rows[-1].seq + 1
            for person, fact in told(facts_of(rows)):
                self.facts[person].append(fact)

    def rule(self, person: int, frame: Frame) -> PersonRule:
        """Return the person's rule, the same one while neither facts nor frame have changed."""
        if self.dependents is None or self.dependents.frame is not frame:
            self.dependents = Dependents(frame)
            self.rules.clear()
        facts = _with_kin(person, self.facts)
        if changes_in(facts):
            # Of records that were joined or parted, facts come in between: what was worked out before is no help.
            return PersonRule(person, facts, frame)
        count, earlier = self.rules.get(person, (0, None))
        if earlier is not None and count == len(facts):
            return earlier
        rule = PersonRule(person, facts, frame)
        about = [self.dependents.written_about(fact) for fact in facts[count:]]
        if earlier is not None and None not in about:
            changed = (self.dependents.of(code) for codes in about for code in codes or ())
            rule.adopt(earlier, frozenset().union(*changed))
        self.rules[person] = (len(facts), rule)
        return rule


_kept: ContextVar[_Kept | None] = ContextVar("kept", default=None)


@contextmanager
def ledger_kept_in_memory() -> Iterator[None]:
    """Read each entry once while a great many are written and judged one after another, in one transaction.

    What was read stays true, since no entry is ever changed; only newer ones are missing, and each question reads
    those first. Not for a process that serves: what is kept grows with the ledger.
    """
    token = _kept.set(_Kept())
    try:
        yield
    finally:
        _kept.reset(token)


def facts_of_people(people: Collection[int]) -> Mapping[int, list[Fact]]:
    """Return the facts on each person's record, and on every record joined with it or parted from it, oldest first.

    One query for any number of people, and one more for each step to another record. `belonging` picks those that are
    the person's; `PersonRule` does so itself.
    """
    wanted = set(people)
    if not wanted:
        return {}
    kept = _kept.get()
    if kept is not None:
        kept.read_on()
        return defaultdict(list, {person: list(_with_kin(person, kept.facts)) for person in wanted})
    facts: dict[int, list[Fact]] = defaultdict(list)
    read: set[int] = set()
    waiting = wanted
    while waiting:
        _read_facts(waiting, facts)
        read |= waiting
        changes = changes_in(fact for person in waiting for fact in facts[person])
        waiting = {number for change in changes for number in (change.person, change.other)} - read
    return defaultdict(list, {person: _with_kin(person, facts) for person in wanted})


def _read_facts(people: Collection[int], facts: Mapping[int, list[Fact]]) -> None:
    about = Q(index__person__in=people) | Q(index__other__in=people, index__kind__in=TELLS_OF_OTHER)
    shown = Q(index__actor__in=people, index__kind__in=KEEPS_RECENT)
    rows = LedgerEntry.objects.filter(about | shown).order_by("seq").distinct()
    for person, fact in told(facts_of(rows)):
        if person in people:
            facts[person].append(fact)


def _with_kin(person: int, facts: Mapping[int, list[Fact]]) -> list[Fact]:
    """Return a record's facts with those of the records it was joined with or parted from, oldest first."""
    own = facts.get(person, [])
    if not changes_in(own):
        return own
    linking: list[Fact] = [fact for found in facts.values() for fact in changes_in(found)]
    numbers = kin_of(person, linking)
    others = [fact for number in numbers for fact in facts.get(number, ()) if not _links(fact)]
    links = [change for change in changes_in(linking) if change.person in numbers]
    return sorted([*others, *links], key=lambda fact: fact.seq)


def _links(fact: Fact) -> bool:
    return isinstance(fact, PeopleJoined | PeopleParted)


def own_facts(people: Collection[int], *, known: datetime | None = None) -> Mapping[int, list[Fact]]:
    """Return the facts that belong to each person as known at a moment (None: now), oldest first. Queries as above."""
    found = facts_of_people(people)
    taken = {person: facts if known is None else known_at(facts, known) for person, facts in found.items()}
    return defaultdict(list, {person: belonging(person, facts) for person, facts in taken.items()})


def is_mirrored(fact: Fact) -> bool:
    """Whether a correction only tells of whoever watched or judged what was corrected, and is about somebody else."""
    return isinstance(fact, Correction) and fact.other is not None and fact.person == fact.other


def told(facts: Iterable[Fact]) -> Iterator[tuple[int, Fact]]:
    """Yield each fact with whom it tells of: the person it is about, and the one who showed or judged."""
    for fact in facts:
        yield fact.person, fact
        if isinstance(fact, Run | Assessment) and fact.by is not None and fact.by != fact.person:
            yield fact.by, _as_performance(fact, fact.by)
        elif isinstance(fact, PeopleJoined | PeopleParted) and fact.other != fact.person:
            yield fact.other, fact
        elif isinstance(fact, Correction) and fact.other is not None and fact.other != fact.person:
            yield fact.other, replace(fact, person=fact.other)


def _as_performance(fact: Fact, person: int) -> Performance:
    return Performance(
        seq=fact.seq,
        person=person,
        happened_at=fact.happened_at,
        recorded_at=fact.recorded_at,
        on=fact.on,
        task=fact.task,
        scope=Scope(fact.scope.line, fact.scope.machine),
        by=fact.by,
        first_seq=fact.first_seq,
        first_recorded_at=fact.first_recorded_at,
    )


def rules_of(people: Collection[Person], *, known: datetime | None = None) -> Mapping[int, PersonRule]:
    """Return each person's rule, as the record stood at `known` (None: all of it). Fixed queries for one plant."""
    if not people:
        return {}
    frame = frame_of(next(iter(people)).plant)
    kept = _kept.get()
    if kept is not None and known is None:
        kept.read_on()
        return {person.pk: kept.rule(person.pk, frame) for person in people}
    facts = facts_of_people({person.pk for person in people})
    rules = {}
    for person in people:
        own, own_frame = facts[person.pk], frame
        if known is not None:
            own, own_frame = known_at(own, known), known_frame(frame, known)
        rules[person.pk] = PersonRule(person.pk, own, own_frame)
    return rules


def rule_of(person: Person, *, known: datetime | None = None) -> PersonRule:
    """Return one person's rule."""
    return rules_of([person], known=known)[person.pk]


def grants_of(people: Collection[int], *, known: datetime | None = None) -> Mapping[int, list[AuthorityGrant]]:
    """Return what each person was ever entrusted with, as recorded by `known`. One query."""
    rows = Authority.objects.filter(person__in=people).select_related("area")
    if known is not None:
        rows = rows.filter(recorded_at__lte=known)
    grants: dict[int, list[AuthorityGrant]] = defaultdict(list)
    for row in rows:
        grants[row.person_id].append(
            AuthorityGrant(
                kind=AuthorityKind(row.kind),
                area=row.area.code if row.area else None,
                from_on=row.from_on,
                until_on=row.until_on,
                seq=row.entry_seq,
            )
        )
    return grants
