"""Reads the ledger into the facts and the rule of a person."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from datetime import datetime

from django.db.models import Q

from competencies.ledger.reading import facts_of
from competencies.models import Authority, LedgerEntry, Person
from competencies.queries.frame import frame_of
from competencies.standing.facts import Fact, Performance, Scope
from competencies.standing.refusals import AuthorityGrant
from competencies.standing.rule import PersonRule, known_at
from competencies.vocabulary import AuthorityKind, EntryKind

# Showing or judging a task is doing it: it keeps the one who shows from going stale.
KEEPS_RECENT = (EntryKind.RUN, EntryKind.ASSESSMENT)


def facts_of_people(people: Collection[int]) -> Mapping[int, list[Fact]]:
    """Return the facts about each person number, oldest entry first. One query for any number of people."""
    about = Q(index__person__in=people)
    shown = Q(index__actor__in=people, index__kind__in=KEEPS_RECENT)
    rows = LedgerEntry.objects.filter(about | shown).order_by("seq").distinct()
    facts: dict[int, list[Fact]] = defaultdict(list)
    for fact in facts_of(rows):
        facts[fact.person].append(fact)
        if fact.by in people and fact.by != fact.person and fact.task:
            facts[fact.by].append(_as_performance(fact, fact.by))
    return facts


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
    facts = facts_of_people({person.pk for person in people})
    rules = {}
    for person in people:
        own, own_frame = facts[person.pk], frame
        if known is not None:
            own, own_frame = known_at(own, frame, known)
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
