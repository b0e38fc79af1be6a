"""Absences: the plan of who is away, and the long ones that the standing rule reads."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from competencies.ledger.writer import writing
from competencies.models import Absence, Person
from competencies.operations.pins import Signer
from competencies.operations.recording import UNWRITTEN, Particulars, Signature, append_fact
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of
from competencies.standing import facts
from competencies.standing.calendar import clock_of
from competencies.standing.live import corrected
from competencies.vocabulary import Meaning

ONE_DAY = timedelta(days=1)


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

    Raises AbsenceError when the days are out of order, or when the person is away on one of them already.
    """
    _refuse_days(person, away)
    _enter_if_long(person, away, by, now)
    return Absence.objects.create(person=person, from_on=away.from_on, until_on=away.until_on)


@writing()
def change_return(*, absence: Absence, until_on: date, by: Signer, now: datetime) -> Absence:
    """Move the last day of an absence: the person is back sooner, or later, than was planned.

    What the ledger says of the old plan stays readable and is corrected. Raises AbsenceError as `record_absence` does.
    """
    person, away = absence.person, Away(from_on=absence.from_on, until_on=until_on)
    _refuse_days(person, away, but=absence)
    last_worked_on = absence.from_on - ONE_DAY
    known = facts_of_people([person.pk])[person.pk]
    out = corrected(known)
    for fact in known:
        if isinstance(fact, facts.Absence) and fact.on == last_worked_on and fact.seq not in out:
            _correct(person, fact, by, now)
    _enter_if_long(person, away, by, now)
    absence.until_on = until_on
    absence.save(update_fields=["until_on"])
    return absence


def _refuse_days(person: Person, away: Away, *, but: Absence | None = None) -> None:
    if away.days < 1:
        raise AbsenceError(_("An absence cannot end before it begins."))
    others = Absence.objects.filter(person=person, from_on__lte=away.until_on, until_on__gte=away.from_on)
    if but is not None:
        others = others.exclude(pk=but.pk)
    if other := others.order_by("from_on").first():
        message = _("Away from %(first)s to %(last)s already: change the return of that absence.")
        raise AbsenceError(message % {"first": other.from_on, "last": other.until_on})


def _enter_if_long(person: Person, away: Away, by: Signer, now: datetime) -> None:
    if away.days < frame_of(person.plant).policy_on(away.from_on).long_absence_days:
        return
    fact = facts.Absence(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=now,
        recorded_at=now,
        on=away.from_on - ONE_DAY,
        by=by.person.pk,
        back_on=away.until_on + ONE_DAY,
    )
    append_fact(fact=fact, person=person, signature=Signature(signer=by, meaning=Meaning.ADMINISTERED), now=now)


def _correct(person: Person, entry: facts.Absence, by: Signer, now: datetime) -> None:
    fact = facts.Correction(
        seq=UNWRITTEN,
        person=person.pk,
        happened_at=now,
        recorded_at=now,
        on=clock_of(person.plant.timezone).day(now),
        by=by.person.pk,
        of=entry.seq,
    )
    append_fact(
        fact=fact,
        person=person,
        signature=Signature(signer=by, meaning=Meaning.ENTERED_IN_ERROR),
        now=now,
        particulars=Particulars(fields={"reason": "return_changed"}),
    )
