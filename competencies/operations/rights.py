"""Employment and authorities: every right has a history in the ledger."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from competencies.ledger.writer import Appended, writing
from competencies.models import Area, Authority, Person
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Signature, append_fact, append_for_plant
from competencies.standing.facts import Employment
from competencies.vocabulary import AuthorityKind, EntryKind, Meaning


class RightsError(Exception):
    """The change of a right was not accepted; the message may be shown at the field."""


@writing()
def record_employment(*, person: Person, by: Signer, happened_at: datetime, on: date, now: datetime) -> Appended:
    """Record what the rule needs of the person's employment, as the person's row has it now."""
    fact = Employment(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=happened_at,
        recorded_at=now,
        on=on,
        by=by.person.pk,
        started_on=person.started_on,
        last_day=person.last_day,
        restricted_until=person.restricted_until,
    )
    return append_fact(fact=fact, person=person, signature=Signature(signer=by, meaning=Meaning.ADMINISTERED), now=now)


@writing()
def record_name(*, person: Person, by: Signer, happened_at: datetime, now: datetime) -> Appended:
    """Record the name that the person's row has now. What was signed before keeps the name that was true then."""
    return append_for_plant(
        kind=EntryKind.RENAMED,
        plant=person.plant,
        about=person,
        signer=by,
        now=now,
        fields={"happened_at": happened_at},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Grant:
    """What a person is to be entrusted with, from a day to a day; no area means the whole plant."""

    kind: AuthorityKind
    from_on: date
    until_on: date | None = None
    area: Area | None = None


@writing()
def grant_authority(*, person: Person, grant: Grant, by: Signer, happened_at: datetime, now: datetime) -> Authority:
    """Entrust a person with something, through the ledger. Raises RightsError when the days are out of order."""
    if grant.until_on is not None and grant.until_on < grant.from_on:
        raise RightsError(_("An authority cannot end before it begins."))
    appended = append_for_plant(
        kind=EntryKind.AUTHORITY,
        plant=person.plant,
        about=person,
        signer=by,
        now=now,
        fields={
            "happened_at": happened_at,
            "authority": grant.kind,
            "valid_from": grant.from_on,
            "valid_until": grant.until_on,
            "area": grant.area.code if grant.area else None,
        },
    )
    return Authority.objects.create(
        person=person,
        kind=grant.kind,
        area=grant.area,
        from_on=grant.from_on,
        until_on=grant.until_on,
        recorded_at=now,
        entry_seq=appended.seq,
    )


@writing()
def end_authority(*, authority: Authority, last_day: date, by: Signer, now: datetime) -> Authority:
    """End an authority after `last_day`, through the ledger. Raises RightsError when it had ended before."""
    if authority.until_on is not None and authority.until_on <= last_day:
        raise RightsError(_("That authority ends before then already."))
    append_for_plant(
        kind=EntryKind.AUTHORITY_ENDED,
        plant=authority.person.plant,
        about=authority.person,
        signer=by,
        now=now,
        fields={
            "of": authority.entry_seq,
            "valid_until": max(last_day, authority.from_on - timedelta(days=1)),
        },
    )
    authority.until_on = last_day
    authority.save(update_fields=["until_on"])
    return authority
