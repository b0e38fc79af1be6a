"""Legal holds: nothing they cover is erased until another person ends them (R14)."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from competencies.ledger.writer import writing
from competencies.models import LegalHold, Line, Person, Plant, Task
from competencies.operations.pins import Signer
from competencies.operations.recording import append_for_plant, refuse_if
from competencies.queries.facts import grants_of
from competencies.standing.calendar import clock_of
from competencies.standing.entitlement import refusal
from competencies.standing.facts import Scope
from competencies.standing.refusals import Refusal, has_authority
from competencies.vocabulary import AuthorityKind, EntryKind

MAY_HOLD = frozenset({AuthorityKind.COORDINATE, AuthorityKind.AUDIT})


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldCover:
    """What a hold covers, and for which incident; what is left out covers everything.

    `files` are the digests of copies that were made with it: the entry ties them down.
    """

    incident: str
    people: Collection[Person] = ()
    task: Task | None = None
    line: Line | None = None
    from_on: date | None = None
    until_on: date | None = None
    files: tuple[str, ...] = ()


@writing()
def set_hold(*, plant: Plant, cover: HoldCover, by: Signer, now: datetime) -> LegalHold:
    """Set a hold. Raises RefusedError with every reason."""
    refuse_if(_refuse_hold(plant, cover, by, now))
    appended = append_for_plant(
        kind=EntryKind.HOLD,
        plant=plant,
        signer=by,
        now=now,
        fields={
            "incident": cover.incident,
            "people": sorted(person.pk for person in cover.people) or None,
            "task": cover.task.code if cover.task else None,
            "scope": Scope(cover.line.code) if cover.line else None,
            "covers_from": cover.from_on,
            "covers_until": cover.until_on,
            "files": cover.files or None,
        },
    )
    hold = LegalHold.objects.create(
        plant=plant,
        incident=cover.incident,
        task=cover.task,
        line=cover.line,
        from_on=cover.from_on,
        until_on=cover.until_on,
        set_by=by.person,
        set_at=now,
        entry_seq=appended.seq,
    )
    hold.people.set(cover.people)
    return hold


@writing()
def end_hold(*, hold: LegalHold, by: Signer, now: datetime) -> LegalHold:
    """End a hold, by another person than the one who set it. Raises RefusedError with every reason."""
    hold = LegalHold.objects.select_related("plant").get(pk=hold.pk)
    refuse_if(_refuse_end(hold, by, now))
    appended = append_for_plant(
        kind=EntryKind.HOLD_ENDED, plant=hold.plant, signer=by, now=now, fields={"of": hold.entry_seq}
    )
    hold.ended_by, hold.ended_at, hold.ended_entry_seq = by.person, now, appended.seq
    hold.save(update_fields=["ended_by", "ended_at", "ended_entry_seq"])
    return hold


def _refuse_hold(plant: Plant, cover: HoldCover, by: Signer, now: datetime) -> list[Refusal]:
    out = _no_authority(plant, by, now)
    if not cover.people and cover.task is None and cover.line is None:
        out.append(refusal("R14", "hold_covers_nothing"))
    if cover.from_on and cover.until_on and cover.until_on < cover.from_on:
        out.append(refusal("R14", "days_out_of_order"))
    return out


def _refuse_end(hold: LegalHold, by: Signer, now: datetime) -> list[Refusal]:
    out = _no_authority(hold.plant, by, now)
    if hold.ended_at is not None:
        out.append(refusal("R14", "hold_ended_already"))
    if hold.set_by_id == by.person.pk:
        out.append(refusal("R14", "hold_ended_by_setter"))
    return out


def _no_authority(plant: Plant, by: Signer, now: datetime) -> list[Refusal]:
    on = clock_of(plant.timezone).day(now)
    held = grants_of([by.person.pk])[by.person.pk]
    return [] if has_authority(held, MAY_HOLD, "", on) else [refusal("R14", "no_office")]
