"""Reads the ledger into the facts and the rule of a person."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import Q

from competencies.ledger.reading import facts_of
from competencies.models import Authority, LedgerEntry, Person
from competencies.queries.frame import Dependents, frame_of
from competencies.standing.facts import Assessment, Fact, Performance, Run, Scope
from competencies.standing.framework import Frame
from competencies.standing.live import known_at, known_frame
from competencies.standing.refusals import AuthorityGrant
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, EntryKind

# Showing or judging a task is doing it: it keeps the one who shows from going stale.
KEEPS_RECENT = (EntryKind.RUN, EntryKind.ASSESSMENT)


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
            for person, fact in _told(facts_of(rows)):
                self.facts[person].append(fact)

    def rule(self, person: int, frame: Frame) -> PersonRule:
        """Return the person's rule, the same one while neither facts nor frame have changed."""
        if self.dependents is None or self.dependents.frame is not frame:
            self.dependents = Dependents(frame)
            self.rules.clear()
        facts = self.facts[person]
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
    """Return the facts about each person number, oldest entry first. One query for any number of people."""
    wanted = set(people)
    kept = _kept.get()
    if kept is not None:
        kept.read_on()
        return defaultdict(list, {person: list(kept.facts[person]) for person in wanted})
    about = Q(index__person__in=wanted)
    shown = Q(index__actor__in=wanted, index__kind__in=KEEPS_RECENT)
    rows = LedgerEntry.objects.filter(about | shown).order_by("seq").distinct()
    facts: dict[int, list[Fact]] = defaultdict(list)
    for person, fact in _told(facts_of(rows)):
        if person in wanted:
            facts[person].append(fact)
    return facts


def _told(facts: Iterable[Fact]) -> Iterator[tuple[int, Fact]]:
    """Yield each fact with whom it tells of: the person it is about, and the one who showed or judged."""
    for fact in facts:
        yield fact.person, fact
        if isinstance(fact, Run | Assessment) and fact.by is not None and fact.by != fact.person:
            yield fact.by, _as_performance(fact, fact.by)


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
