"""What of the records is due to go, and what is kept back and why (R14)."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Final

from django.db.models import Q, QuerySet

from competencies.ledger.canonical import Body, decode
from competencies.ledger.schema import TextKind
from competencies.models import Detached, LedgerEntry, LedgerIndex, LegalHold, Person, Plant
from competencies.queries.frame import frame_of
from competencies.standing.calendar import add_months
from competencies.standing.facts import Scope
from competencies.standing.framework import Policy
from competencies.standing.retention import (
    Hold,
    Kept,
    evidence_is_due,
    holding_back,
    record_is_due,
    record_kept_until,
)
from competencies.vocabulary import EntryKind

# The entries whose typed texts are evidence of a judgement or of what it rests on.
EVIDENCE: Final = frozenset(
    {
        EntryKind.RUN,
        EntryKind.RUN_ACCEPTED,
        EntryKind.CHECK,
        EntryKind.ASSESSMENT,
        EntryKind.SECOND_SIGNATURE,
        EntryKind.RECOGNITION,
        EntryKind.UNIT_DECISION,
    }
)
TEXTS: Final = tuple(kind.value for kind in TextKind)
ERASED_NUMBER: Final = "erased-"


@dataclass(frozen=True, slots=True, kw_only=True)
class DueEvidence:
    """A person's texts that are due: how many, of judgements from when to when, by their digests."""

    person: Person
    digests: tuple[bytes, ...]
    first_on: date
    last_on: date

    @property
    def count(self) -> int:
        """Return how many texts."""
        return len(self.digests)


@dataclass(frozen=True, slots=True, kw_only=True)
class DueRecord:
    """A leaver whose name is due to go since the day after `kept_until`."""

    person: Person
    last_day: date
    kept_until: date


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptBack:
    """What would be due and is kept: by open holds, or (none of them) until the next moderation."""

    person: Person
    what: str
    count: int
    holds: tuple[Hold, ...] = ()


@dataclass(slots=True)
class Retention:
    """What is due and what is kept back, by person."""

    evidence: list[DueEvidence] = field(default_factory=list)
    records: list[DueRecord] = field(default_factory=list)
    kept_back: list[KeptBack] = field(default_factory=list)


def open_holds(plant: Plant) -> list[Hold]:
    """Return the plant's open holds as the rule reads them. Three queries.

    A hold on a person covers every record that was joined to theirs.
    """
    rows = LegalHold.objects.filter(plant=plant, ended_at=None).select_related("task", "line")
    joined = dict(Person.objects.filter(plant=plant).exclude(joined_into=None).values_list("pk", "joined_into"))
    return [
        Hold(
            seq=row.entry_seq,
            incident=row.incident,
            people=_with_joined({person.pk for person in row.people.all()}, joined),
            task=row.task.code if row.task else "",
            line=row.line.code if row.line else "",
            from_on=row.from_on,
            until_on=row.until_on,
        )
        for row in rows.order_by("set_at").prefetch_related("people")
    ]


def _with_joined(people: Collection[int], joined: Mapping[int, int | None]) -> frozenset[int]:
    """Return the numbers with those of every record joined to one of them, directly or through another."""
    found = set(people)
    while more := {number for number, into in joined.items() if into in found} - found:
        found |= more
    return frozenset(found)


def holds_of(plant: Plant) -> QuerySet[LegalHold]:
    """Return all holds of the plant, open ones first, then the newest."""
    rows = LegalHold.objects.filter(plant=plant).select_related("task", "line", "set_by", "ended_by")
    return rows.prefetch_related("people").order_by("ended_at", "-set_at")


def retention_of(plant: Plant, *, on: date) -> Retention:
    """Return what is due on a day and what is kept back. A fixed number of queries."""
    policy, holds = frame_of(plant).policy_on(on), open_holds(plant)
    found = Retention()
    _add_evidence(found, plant, policy, holds, on)
    _add_records(found, plant, policy, holds, on)
    return found


def _add_evidence(found: Retention, plant: Plant, policy: Policy, holds: Sequence[Hold], on: date) -> None:
    """Sort the texts that are old enough into due and kept back."""
    bodies = _old_bodies(plant, add_months(on, -policy.evidence_months))
    moderated_on = _moderated_on(plant)
    there = {bytes(digest) for digest in Detached.objects.filter(kind__in=TEXTS).values_list("digest", flat=True)}
    people = Person.objects.in_bulk({body["subject"] for body in bodies})
    due: dict[int, list[tuple[date, bytes]]] = defaultdict(list)
    kept: dict[tuple[int, tuple[Hold, ...]], int] = defaultdict(int)
    for body in bodies:
        digests = [digest for digest in _text_digests(body) if digest in there]
        judged_on, person = date.fromisoformat(body["happened_on"]), body["subject"]
        if on <= add_months(judged_on, policy.evidence_months) or not digests or person not in people:
            continue
        back = tuple(holding_back(holds, _kept(body, judged_on)))
        if back or not evidence_is_due(judged_on, policy, moderated_on=moderated_on, on=on):
            kept[person, back] += len(digests)
        else:
            due[person] += [(judged_on, digest) for digest in digests]
    found.evidence += [_due_evidence(people[number], texts) for number, texts in due.items()]
    found.evidence.sort(key=lambda each: (each.person.name, each.person.pk))
    found.kept_back += [
        KeptBack(person=people[number], what="evidence", count=count, holds=back)
        for (number, back), count in kept.items()
    ]


def _due_evidence(person: Person, texts: Collection[tuple[date, bytes]]) -> DueEvidence:
    days = [day for day, _ in texts]
    return DueEvidence(
        person=person, digests=tuple(digest for _, digest in texts), first_on=min(days), last_on=max(days)
    )


def _old_bodies(plant: Plant, before: date) -> list[Body]:
    rows = LedgerEntry.objects.filter(
        index__plant=plant, index__kind__in=EVIDENCE, index__happened_on__lte=before, index__person__isnull=False
    )
    return [decode(bytes(raw)) for raw in rows.order_by("seq").values_list("body", flat=True)]


def _moderated_on(plant: Plant) -> date | None:
    """Return the day of the newest moderation that is recorded."""
    rows = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.MODERATION).order_by("-happened_on")
    return rows.values_list("happened_on", flat=True).first()


def _text_digests(body: Body) -> list[bytes]:
    return [bytes.fromhex(str(body[kind])) for kind in TEXTS if kind in body]


def _kept(body: Body, on: date) -> Kept:
    people = {number for key in ("subject", "actor", "by") if isinstance(number := body.get(key), int)}
    scope = Scope.parse(str(body.get("scope", "")))
    return Kept(people=frozenset(people), on=on, task=str(body.get("task", "")), scope=scope)


def _add_records(found: Retention, plant: Plant, policy: Policy, holds: Sequence[Hold], on: date) -> None:
    """Sort the leavers whose years are over into due and kept back."""
    there = {person.pk: person for person in Person.objects.filter(plant=plant).order_by("name", "pk")}
    due = {
        person.pk: last_day
        for person in there.values()
        if not person.works_number.startswith(ERASED_NUMBER)
        and (last_day := _last_day(person, there)) is not None
        and record_is_due(last_day, policy, on=on)
    }
    back = _held_people(holds, frozenset(due)) if holds else {}
    for number, last_day in due.items():
        if stopping := back.get(number):
            found.kept_back.append(KeptBack(person=there[number], what="record", count=1, holds=tuple(stopping)))
        else:
            kept_until = record_kept_until(last_day, policy)
            found.records.append(DueRecord(person=there[number], last_day=last_day, kept_until=kept_until))


def _last_day(person: Person, there: Mapping[int, Person]) -> date | None:
    """Return the last day of the person whose record it is: a joined record goes with the one it was joined to."""
    while person.joined_into_id is not None:
        person = there[person.joined_into_id]
    return person.last_day


def _held_people(holds: Iterable[Hold], people: frozenset[int]) -> Mapping[int, list[Hold]]:
    """Return the holds that keep each person's name: those that cover any entry about the person or signed by them."""
    rows = LedgerIndex.objects.filter(Q(person__in=people) | Q(actor__in=people))
    values = list(rows.values_list("person", "actor", "task", "scope", "happened_on"))
    back: dict[int, list[Hold]] = defaultdict(list)
    for hold in holds:
        for number in people & hold.people:
            back[number].append(hold)
        for person, actor, task, scope, on in values:
            numbers = {number for number in (person, actor) if number is not None} & people
            entry = Kept(people=frozenset(numbers), on=on, task=task, scope=Scope.parse(scope))
            if numbers and hold.covers(entry):
                for number in numbers:
                    if hold not in back[number]:
                        back[number].append(hold)
    return back
