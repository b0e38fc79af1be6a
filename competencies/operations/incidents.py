"""Opens an incident: keeps a copy of what was found, and sets the hold that ties it down, in one act (R13, R14)."""

from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction

from competencies.ledger.anchoring import AnchorReason, anchor_ledger
from competencies.ledger.writer import writing
from competencies.models import Incident, Person, PrintedSheet
from competencies.operations.holds import HoldCover, set_hold
from competencies.operations.paper import Registered, head_of
from competencies.operations.pins import Signer
from competencies.queries.incidents.copying import copy_of, digest_of_copy, read_copy
from competencies.queries.incidents.finding import Asked, incident_found
from competencies.vocabulary import SheetKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """What is asked about, and the number of the incident."""

    asked: Asked
    number: str


@writing()
def open_incident(*, opening: Opening, by: Signer) -> Incident:
    """Keep what is found now, with a hold on the records of everybody it names. Raises RefusedError.

    The hold names the people and no day, since what they were signed off by lies further back; where nobody is named
    it covers the line on the day.
    """
    asked = opening.asked
    found = incident_found(asked)
    copy = copy_of(found)
    digest = digest_of_copy(copy)
    people = list(Person.objects.filter(plant=asked.line.plant_id, pk__in=found.people).order_by("pk"))
    cover = HoldCover(incident=opening.number, people=people, files=(digest,))
    if not people:
        cover = replace(cover, line=asked.line, from_on=asked.on, until_on=asked.on)
    hold = set_hold(plant=asked.line.plant, cover=cover, by=by, now=asked.now)
    return Incident.objects.create(
        plant=asked.line.plant,
        number=opening.number,
        line=asked.line,
        shift=asked.shift,
        on=asked.on,
        moment=asked.moment,
        copy=copy,
        digest=digest,
        hold=hold,
        opened_by=by.person,
        opened_at=asked.now,
    )


@transaction.atomic
def register_incident(*, incident: Incident, printed_by: Person | None, now: datetime) -> Registered:
    """Register the copy of an incident that is about to be printed, and keep the ledger's root as it is now."""
    anchor = anchor_ledger(at=now, why=AnchorReason.PRINT)
    found = read_copy(incident.copy)
    sheet = PrintedSheet.objects.create(
        plant=incident.plant,
        kind=SheetKind.INCIDENT.value,
        moment=incident.moment,
        as_of=incident.on,
        printed_at=now,
        printed_by=printed_by,
        digest=incident.digest,
        ledger_size=found.size,
        ledger_head=head_of(found.size),
    )
    return Registered(sheet, anchor)
