"""Reads everything that progress records are made of: a fixed number of queries for one person or for forty."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from competencies.ledger.reading import opened, read_entry
from competencies.models import Criterion, Enrolment, LedgerEntry, LedgerIndex, Person, Plant, Task, UnitStandard
from competencies.queries.facts import facts_of_people, is_mirrored
from competencies.queries.frame import frame_of
from competencies.queries.pathways import unit_rules
from competencies.queries.records.parts import Signed
from competencies.standing.belonging import belonging, kin_of
from competencies.standing.credits import Unit
from competencies.standing.facts import Fact
from competencies.standing.framework import Frame
from competencies.standing.live import known_at, known_frame, recorded_late_on
from competencies.standing.readiness import PurposeKind
from competencies.standing.rule import PersonRule
from competencies.vocabulary import AuthorityKind, EntryKind

Entry = Mapping[str, Any]
NAME_KEYS = ("actor_name", "by_name")
TEXT_KEYS = ("note", "feedback", "practise", "remark")
# What the record quotes; the other kinds are about rights, erasing, and the plant.
QUOTED = (
    EntryKind.RUN,
    EntryKind.CHECK,
    EntryKind.ASSESSMENT,
    EntryKind.SECOND_SIGNATURE,
    EntryKind.RECOGNITION,
    EntryKind.SUSPENSION,
    EntryKind.LIFTING,
    EntryKind.WITHDRAWAL,
    EntryKind.CHECK_OWED,
    EntryKind.ANNULMENT,
    EntryKind.REVIEW,
    EntryKind.REVERIFICATION,
    EntryKind.ATTEMPTS_REVIEWED,
    EntryKind.APPEAL,
    EntryKind.CORRECTION,
    EntryKind.UNIT_DECISION,
    EntryKind.UNIT_REPORTED,
    EntryKind.MODERATION,
    EntryKind.ENROLMENT,
    EntryKind.RENAMED,
)


@dataclass(frozen=True, slots=True)
class Cut:
    """How much of the ledger is taken for known: what was written down by `known`, within the first `size` entries."""

    known: datetime | None
    size: int

    def holds(self, seq: int) -> bool:
        """Whether an entry is within the size."""
        return seq < self.size


@dataclass(frozen=True)
class Sources:
    """What was read. `texts` are names and typed texts by their digest: what was erased is not in it."""

    plant: Plant
    people: Sequence[Person]
    frame: Frame
    facts: Mapping[int, Sequence[Fact]]
    entries: Mapping[int, Entry]
    texts: Mapping[str, str]
    names: Mapping[int, str]
    tasks: Mapping[str, Task]
    criteria: Mapping[tuple[str, int], Mapping[int, str]]
    units: Sequence[tuple[UnitStandard, Unit]]
    enrolments: Mapping[int, Sequence[Enrolment]]
    size: int
    known_size: int

    @cached_property
    def zone(self) -> ZoneInfo:
        """Return the plant's zone."""
        return ZoneInfo(self.plant.timezone)

    def rule(self, person: Person, cut: Cut) -> PersonRule:
        """Return the person's rule over what the cut leaves."""
        facts = [fact for fact in self.facts[person.pk] if cut.holds(fact.seq)]
        if cut.known is None:
            return PersonRule(person.pk, facts, self.frame)
        return PersonRule(person.pk, known_at(facts, cut.known), known_frame(self.frame, cut.known))

    def facts_within(self, person: Person, cut: Cut) -> list[Fact]:
        """Return the facts about the person that the cut leaves, corrected ones among them, in ledger order."""
        facts = [fact for fact in self.facts[person.pk] if cut.holds(fact.seq) and not is_mirrored(fact)]
        return belonging(person.pk, facts if cut.known is None else known_at(facts, cut.known))

    def named(self, person: Person, cut: Cut) -> Person:
        """Return the person under the name that was true when the last entry that the cut leaves was signed."""
        about = [entry for entry in self.entries.values() if entry.get("subject") == person.pk]
        if not any(entry["kind"] == EntryKind.RENAMED for entry in about):
            return person
        left = [entry for entry in about if self._is_known(entry["seq"], cut)]
        names = [self.texts[entry["subject_name"]] for entry in left if entry.get("subject_name") in self.texts]
        then = copy(person)
        then.name = names[-1] if names else person.name
        return then

    def enrolments_within(self, person: Person, cut: Cut) -> list[Enrolment]:
        """Return the enrolments that the cut leaves."""
        return [row for row in self.enrolments.get(person.pk, ()) if self._is_known(row.entry_seq, cut)]

    def _is_known(self, seq: int | None, cut: Cut) -> bool:
        entry = self.entries.get(seq) if seq is not None else None
        if seq is None or entry is None:
            return True
        return cut.holds(seq) and (cut.known is None or entry["at"] <= cut.known)

    def text(self, seq: int, key: str) -> str:
        """Return a typed text of an entry; "" where there is none, or it was erased."""
        return self.texts.get(self.entries.get(seq, {}).get(key, ""), "")

    def purpose(self, seq: int) -> PurposeKind | None:
        """Return what an assessment was for, where its entry says so."""
        code = self.entries.get(seq, {}).get("purpose")
        return PurposeKind(code) if code in set(PurposeKind) else None

    def signed(self, seq: int) -> Signed:
        """Return who stands behind an entry: the one who acted on the floor, or who signed it."""
        entry = self.entries[seq]
        is_on_paper = "by" in entry
        person = entry["by"] if is_on_paper else entry.get("actor", 0)
        digest = entry.get("by_name" if is_on_paper else "actor_name")
        return Signed(
            seq=seq,
            person_id=person,
            name=self.texts.get(digest, "") if digest else self.names.get(person, ""),
            meaning=entry.get("meaning"),
            role=_role(entry),
            signed_at=entry["at"].astimezone(self.zone),
            recorded_late_on=self._late_on(entry),
        )

    def _late_on(self, entry: Entry) -> date | None:
        written_at = entry.get("first_recorded_at", entry["at"])
        return recorded_late_on(self.frame, happened_on=entry["happened_on"], recorded_at=written_at)


def _role(entry: Entry) -> AuthorityKind | None:
    role = entry.get("actor_role")
    return AuthorityKind(role) if role in set(AuthorityKind) else None


def read_sources(people: Iterable[Person], *, known: datetime | None = None) -> Sources:
    """Return all that the records of these people, of one plant, are made of. A fixed number of queries.

    `size` counts the entries of the whole ledger, `known_size` those up to the last one written down by `known`.
    """
    numbers = [person.pk for person in people]
    facts = facts_of_people(numbers)
    kin = frozenset().union(*(kin_of(number, facts[number]) for number in numbers))
    rows = list(Person.objects.filter(pk__in=numbers).select_related("plant", "crew", "area"))
    order = {number: place for place, number in enumerate(numbers)}
    rows.sort(key=lambda person: order[person.pk])
    plant = rows[0].plant
    size = _size(LedgerIndex.objects.all())
    known_size = _size(LedgerIndex.objects.known_at(known)) if known is not None else size
    entries = _entries(kin)
    tasks = Task.objects.filter(plant=plant).select_related("area").order_by("code")
    actors = {entry[key] for entry in entries.values() for key in ("actor", "by") if key in entry}
    return Sources(
        plant=plant,
        people=rows,
        frame=frame_of(plant),
        facts=facts,
        entries=entries,
        texts=_texts(entries.values()),
        names=dict(Person.objects.filter(pk__in={*actors, *numbers}).values_list("pk", "name")),
        tasks={task.code: task for task in tasks},
        criteria=_criteria(plant),
        units=unit_rules(plant.pk),
        enrolments=_enrolments(numbers),
        size=size,
        known_size=min(size, known_size),
    )


def _entries(numbers: Collection[int]) -> dict[int, Entry]:
    rows = LedgerEntry.objects.filter(index__person__in=numbers, index__kind__in=QUOTED).order_by("seq")
    return {row.seq: read_entry(row) for row in rows}


def _texts(entries: Collection[Entry]) -> Mapping[str, str]:
    keys = (*NAME_KEYS, *TEXT_KEYS)
    renamed = {entry["subject"] for entry in entries if entry["kind"] == EntryKind.RENAMED}
    names = {entry["subject_name"] for entry in entries if entry.get("subject") in renamed and "subject_name" in entry}
    return opened(names | {entry[key] for entry in entries for key in keys if key in entry})


def _criteria(plant: Plant) -> Mapping[tuple[str, int], Mapping[int, str]]:
    rows = Criterion.objects.filter(revision__task__plant=plant).values_list(
        "revision__task__code", "revision__number", "number", "text"
    )
    found: dict[tuple[str, int], dict[int, str]] = defaultdict(dict)
    for code, revision, number, text in rows:
        found[code, revision][number] = text
    return found


def _enrolments(numbers: Collection[int]) -> Mapping[int, list[Enrolment]]:
    rows = Enrolment.objects.filter(person__in=numbers).select_related("qualification").order_by("enrolled_on", "pk")
    found: dict[int, list[Enrolment]] = defaultdict(list)
    for row in rows:
        found[row.person_id].append(row)
    return found


def _size(entries: QuerySet[LedgerIndex]) -> int:
    last = entries.order_by("-entry").values_list("entry", flat=True).first()
    return 0 if last is None else last + 1
