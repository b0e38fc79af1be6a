"""Somebody leaves, or moves to another area or crew: in one act, with the ledger where it belongs."""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q
from django.utils.translation import gettext as _

from competencies.ledger.writer import writing
from competencies.models import Area, Assignment, Crew, Person
from competencies.operations.pins import Signer
from competencies.operations.rights import end_authority, record_employment
from competencies.queries.leaving import asked_in_area, authorities_beyond


class LeavingError(Exception):
    """It was not entered; the message may be shown."""


@writing()
def announce_last_day(*, person: Person, last_day: date, by: Signer, on: date, now: datetime) -> None:
    """Set the last working day, end every authority after it, and call off what was asked for later days.

    From the day after nobody counts; the record stays. Raises LeavingError for a day before the first one, or where
    somebody enters their own.
    """
    if by.person.pk == person.pk:
        raise LeavingError(_("Somebody else enters your last day."))
    if last_day < person.started_on:
        raise LeavingError(_("The last working day cannot lie before the first."))
    person.last_day = last_day
    person.save(update_fields=["last_day"])
    record_employment(person=person, by=by, happened_at=now, on=on, now=now)
    for authority in authorities_beyond(person, last_day):
        end_authority(authority=authority, last_day=last_day, by=by, now=now)
    Assignment.objects.filter(
        Q(person=person) | Q(trainer=person), state=Assignment.State.PLANNED, on__gt=last_day
    ).update(state=Assignment.State.DROPPED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Where a person goes, and what of the area that they leave ends with it."""

    area: Area | None
    crew: Crew | None
    ends_authorities: bool
    drops_asked: bool


@writing()
def move_person(*, person: Person, move: Move, by: Signer, on: date, now: datetime) -> None:
    """Move a person on the day `on`. No sign-off is touched: each holds where it was given.

    Raises LeavingError where nothing would change, or where somebody moves themselves.
    """
    if by.person.pk == person.pk:
        raise LeavingError(_("Somebody else enters your move."))
    if (move.area, move.crew) == (person.area, person.crew):
        raise LeavingError(_("That is the area and the crew that they are in."))
    if person.area is not None and move.area != person.area:
        if move.ends_authorities:
            for authority in authorities_beyond(person, on, area=person.area):
                end_authority(authority=authority, last_day=on, by=by, now=now)
        if move.drops_asked:
            asked = [each.pk for each in asked_in_area(person, on)]
            Assignment.objects.filter(pk__in=asked).update(state=Assignment.State.DROPPED)
    person.area, person.crew = move.area, move.crew
    person.save(update_fields=["area", "crew"])
