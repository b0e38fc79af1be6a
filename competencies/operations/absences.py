"""Absences: the plan of who is away, and the long ones that the standing rule reads."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from competencies.ledger.writer import writing
from competencies.models import Absence, Person
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Signature, append_fact
from competencies.queries.frame import frame_of
from competencies.standing import facts
from competencies.vocabulary import Meaning


class AbsenceError(Exception):
    """The absence was not accepted; the message may be shown at the field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """The first and the last day away, both in."""

    from_on: date
    until_on: date

    @property
    def days(self) -> int:
        """Return how many days it is."""
        return (self.until_on - self.from_on).days + 1


@writing()
def record_absence(*, person: Person, away: Away, by: Signer, now: datetime) -> Absence:
    """Record that a person is away; no reason is kept. A long absence goes into the ledger, since it acts (R3.6).

    Raises AbsenceError when the days are out of order.
    """
    if away.days < 1:
        raise AbsenceError("An absence cannot end before it begins.")
    if away.days >= frame_of(person.plant).policy_on(away.from_on).long_absence_days:
        fact = facts.Absence(
            seq=UNWRITTEN,
            person=person.pk,
            happened_at=now,
            recorded_at=now,
            on=away.from_on - timedelta(days=1),
            by=by.person.pk,
            back_on=away.until_on + timedelta(days=1),
        )
        append_fact(fact=fact, person=person, signature=Signature(signer=by, meaning=Meaning.ADMINISTERED), now=now)
    return Absence.objects.create(person=person, from_on=away.from_on, until_on=away.until_on)
