"""Two records that are one person are joined, one that holds two people is parted, and a name changes (R7)."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from competencies.ledger.writer import Appended, writing
from competencies.models import (
    Absence,
    Area,
    Assignment,
    Authority,
    DifferentPeople,
    Enrolment,
    Person,
    Plant,
    RosterDay,
)
from competencies.models.people import new_person_number
from competencies.operations.decisions import When
from competencies.operations.pins import Signer, clear_pin
from competencies.operations.recording import (
    UNWRITTEN,
    Particulars,
    Signature,
    append_fact,
    refuse_if,
)
from competencies.operations.rights import end_authority, record_employment, record_name
from competencies.operations.signins import close_sign_in
from competencies.queries.joining import changing, joining_refused, parting_refused
from competencies.standing.facts import PeopleJoined, PeopleParted
from competencies.vocabulary import Meaning


class RecordError(Exception):
    """The change of a record was not accepted; the message may be shown at the field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why records are joined or parted; `is_confirmed` where something that speaks against it was looked into."""

    reason: str
    is_confirmed: bool = False


@writing()
def join_people(*, kept: Person, other: Person, by: Signer, when: When, why: Why) -> Appended:
    """Join two records that are one person: the entries of `other` count for `kept` from now on.

    The sign-in of `other` is closed and its authorities end with the day; what is planned for it from that day on is
    planned for `kept`. Its entries stay as they were written, and nothing that was known before changes. Raises
    RefusedError with every reason.
    """
    act = changing(by.person, when.on, why.reason)
    refuse_if(joining_refused(kept, other, act=act, is_confirmed=why.is_confirmed))
    _end_authorities(other, by, when)
    close_sign_in(person=other)
    clear_pin(person=other)
    other.joined_into, other.joined_at = kept, when.now
    other.save(update_fields=["joined_into", "joined_at"])
    _move_plans(other, kept, when.on)
    fact = PeopleJoined(
        seq=UNWRITTEN,
        person=kept.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        by=by.person.pk,
        other=other.pk,
    )
    appended = append_fact(
        fact=fact,
        person=kept,
        signature=Signature(signer=by, meaning=Meaning.ADMINISTERED),
        now=when.now,
        particulars=Particulars(texts={"note": why.reason}),
    )
    _join_days(kept, other, by, when)
    return appended


def _end_authorities(other: Person, by: Signer, when: When) -> None:
    held = Authority.objects.filter(person=other).exclude(until_on__lte=when.on)
    for authority in held.select_related("person__plant").order_by("pk"):
        end_authority(authority=authority, last_day=when.on, by=by, now=when.now)


def _move_plans(other: Person, kept: Person, on: date) -> None:
    """Plan for the one what was planned for the other from a day on; what both have stays once."""
    taken = RosterDay.objects.filter(person=kept, on__gte=on).values_list("on", "shift")
    for row in RosterDay.objects.filter(person=other, on__gte=on):
        if (row.on, row.shift_id) in set(taken):
            row.delete()
        else:
            RosterDay.objects.filter(pk=row.pk).update(person=kept)
    planned = Assignment.objects.filter(state=Assignment.State.PLANNED)
    asked = set(planned.filter(person=kept).values_list("task", "on", "shift"))
    for asking in planned.filter(person=other):
        if (asking.task_id, asking.on, asking.shift_id) in asked:
            planned.filter(pk=asking.pk).update(state=Assignment.State.DROPPED)
        else:
            planned.filter(pk=asking.pk).update(person=kept)
    planned.filter(trainer=other).update(trainer=kept)
    Absence.objects.filter(person=other, until_on__gte=on).update(person=kept)
    followed = Enrolment.objects.filter(person=kept).values("qualification")
    Enrolment.objects.filter(person=other).exclude(qualification__in=followed).update(person=kept)


def _join_days(kept: Person, other: Person, by: Signer, when: When) -> None:
    """Let the person have started on the earlier day, and be barred as young until the later."""
    kept.started_on = min(kept.started_on, other.started_on)
    bars = [day for day in (kept.restricted_until, other.restricted_until) if day is not None]
    kept.restricted_until = max(bars, default=None)
    kept.save(update_fields=["started_on", "restricted_until"])
    # The newest entry on employment holds, whichever record it was on: so it is said once more of the one person.
    record_employment(person=kept, by=by, happened_at=when.happened_at, on=when.on, now=when.now)


@writing()
def part_people(
    *, record: Person, other: Person, entries: Iterable[int], by: Signer, when: When, why: Why
) -> Appended:
    """Say that some entries of a record are about another person, and are theirs from now on.

    What points at an entry goes with it. A record that had been joined to this one is a person's own again. Raises
    RefusedError with every reason.
    """
    wanted = frozenset(entries)
    if other.joined_into_id == record.pk:
        other.joined_into, other.joined_at = None, None
    act = changing(by.person, when.on, why.reason)
    refuse_if(parting_refused(record, other, wanted, act=act))
    other.save(update_fields=["joined_into", "joined_at"])
    fact = PeopleParted(
        seq=UNWRITTEN,
        person=record.pk,
        happened_at=when.happened_at,
        recorded_at=when.now,
        on=when.on,
        by=by.person.pk,
        other=other.pk,
        entries=wanted,
    )
    return append_fact(
        fact=fact,
        person=record,
        signature=Signature(signer=by, meaning=Meaning.ADMINISTERED),
        now=when.now,
        particulars=Particulars(texts={"note": why.reason}),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRecord:
    """A person who had no record of their own."""

    works_number: str
    name: str
    started_on: date
    area: Area | None = None
    restricted_until: date | None = None


@writing()
def open_record(*, plant: Plant, new: NewRecord, by: Signer, when: When) -> Person:
    """Open a record for a person. Raises RecordError where the employee number is another's."""
    if Person.objects.filter(plant=plant, works_number=new.works_number).exists():
        raise RecordError(_("That employee number belongs to somebody else."))
    person = Person.objects.create(
        id=new_person_number(),
        plant=plant,
        works_number=new.works_number,
        name=new.name,
        area=new.area,
        started_on=new.started_on,
        restricted_until=new.restricted_until,
    )
    record_employment(person=person, by=by, happened_at=when.happened_at, on=when.on, now=when.now)
    return person


@writing()
def rename_person(*, person: Person, name: str, by: Signer, when: When) -> Appended:
    """Record that a person goes by another name. Entries signed before keep the name that was true then.

    Raises RecordError where the name is empty or the same.
    """
    if not name.strip() or name.strip() == person.name:
        raise RecordError(_("That is the name already."))
    person.name = name.strip()
    person.save(update_fields=["name"])
    return record_name(person=person, by=by, happened_at=when.happened_at, now=when.now)


@writing()
def keep_apart(*, first: Person, second: Person, by: Signer, when: When) -> DifferentPeople:
    """Keep that two records that look alike are two people. Raises RecordError for one and the same record."""
    if first.pk == second.pk:
        raise RecordError(_("These are one and the same record."))
    low, high = sorted((first, second), key=lambda person: person.pk)
    found, _made = DifferentPeople.objects.get_or_create(
        first=low, second=high, defaults={"decided_by": by.person, "decided_at": when.now}
    )
    return found
