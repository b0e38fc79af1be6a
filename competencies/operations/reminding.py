"""Notes what is told before and after an e-mail goes: each thing once, at most.

An e-mail cannot be taken back and the database not be made to wait for it, so a crash between the two leaves either a
thing told twice or one not told. It is noted first: a reminder that is lost still stands on the person's page, and the
log names it, while one that comes again and again is soon not read. Where sending fails and that is known, the note
goes, and the next run tries again.
"""

from collections.abc import Collection
from datetime import date, datetime

from django.db import transaction
from django.db.models import QuerySet

from competencies.models import Person, Reminder
from competencies.queries.reminders import Told


@transaction.atomic
def claim(*, person: Person, told: Collection[Told], on: date, now: datetime) -> list[Told]:
    """Note what is about to be told, and return what of it was not told before: of two processes one gets it.

    Nothing is returned for a person who has left by now, was erased, or wants no e-mail.
    """
    # Whoever else tells this person something, or erases them, waits here.
    found = Person.objects.employed(on).select_for_update().filter(pk=person.pk, is_reminded=True).exclude(email="")
    if not found:
        return []
    known = set(Reminder.objects.filter(person=person).values_list("kind", "about"))
    fresh = [each for each in told if (each.kind, each.about) not in known]
    Reminder.objects.bulk_create(
        Reminder(
            plant_id=person.plant_id,
            person=person,
            kind=each.kind,
            about=each.about,
            says=each.says,
            day=each.day,
            claimed_at=now,
        )
        for each in fresh
    )
    return fresh


@transaction.atomic
def note_sent(*, person: Person, told: Collection[Told], now: datetime) -> None:
    """Note that the e-mail about these things went."""
    _claimed(person, told).update(sent_at=now)


@transaction.atomic
def release(*, person: Person, told: Collection[Told]) -> None:
    """Take the note back where the e-mail is known not to have gone: the next run tells it."""
    _claimed(person, told).delete()


def _claimed(person: Person, told: Collection[Told]) -> QuerySet[Reminder]:
    return Reminder.objects.filter(person=person, sent_at=None, about__in=[each.about for each in told])


@transaction.atomic
def choose_reminders(*, person: Person, is_reminded: bool) -> None:
    """Keep whether a person wants to be told by e-mail."""
    Person.objects.filter(pk=person.pk).update(is_reminded=is_reminded)
