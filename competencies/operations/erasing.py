"""Erasing what is due: signed by two people, nothing early, nothing under hold; the chain stays whole (R14)."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from axes.models import AccessAttempt, AccessFailureLog, AccessLog  # type: ignore[import-untyped]  # ships no types
from django.db import connection, transaction

from competencies.ledger.schema import TextKind
from competencies.ledger.writer import writing
from competencies.models import Absence, Assignment, Detached, Person, Plant, Reminder, RevisionNotice, RosterDay, User
from competencies.operations.jobs import remove_jobs_about
from competencies.operations.pins import Signer
from competencies.operations.recording import append_for_plant, refuse_if
from competencies.queries.facts import grants_of
from competencies.queries.retention import ERASED_NUMBER, DueEvidence, Retention, retention_of
from competencies.standing.calendar import clock_of
from competencies.standing.entitlement import refusal
from competencies.standing.refusals import Refusal, has_authority
from competencies.vocabulary import AuthorityKind, EntryKind

ERASED_NAME: Final = "—"
SECONDS: Final = frozenset({AuthorityKind.COORDINATE, AuthorityKind.AUDIT, AuthorityKind.SUPERVISE})
# The names by which a person's practice hangs on their record; whether it is there is up to another app.
PRACTICE: Final = (
    *("practice_attempts", "practice_progress", "practice_rounds", "practice_steps_asked"),
    "inspection_series",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Whose evidence and whose records are to go, by person number."""

    evidence: frozenset[int] = frozenset()
    records: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Erased:
    """How many texts, names and people's records went."""

    texts: int
    names: int
    people: int


@writing()
def erase(*, plant: Plant, chosen: Chosen, by: Signer, second: Signer, now: datetime) -> Erased:
    """Erase what two people chose of what is due. Raises RefusedError with every reason, and then nothing is erased.

    What is due is worked out again here: a hold set a moment ago holds.
    """
    due = retention_of(plant, on=clock_of(plant.timezone).day(now))
    refuse_if(_refuse_erasure(plant, chosen, due, (by, second), now))
    texts = names = 0
    for each in due.evidence:
        if each.person.pk in chosen.evidence:
            texts += _erase_evidence(plant, each, (by, second), now)
    for record in due.records:
        if record.person.pk in chosen.records:
            gone = _erase_record(plant, record.person, (by, second), now)
            texts, names = texts + gone.texts, names + gone.names
    transaction.on_commit(_leave_no_trace)
    return Erased(texts, names, len(chosen.records))


def _refuse_erasure(
    plant: Plant, chosen: Chosen, due: Retention, signers: tuple[Signer, Signer], now: datetime
) -> list[Refusal]:
    by, second = signers
    on = clock_of(plant.timezone).day(now)
    grants = grants_of([by.person.pk, second.person.pk])
    out: list[Refusal] = []
    if by.person.pk == second.person.pk:
        out.append(refusal("R14", "two_people"))
    if not has_authority(grants[by.person.pk], {AuthorityKind.COORDINATE}, "", on):
        out.append(refusal("R14", "no_office"))
    if not has_authority(grants[second.person.pk], SECONDS, "", on):
        out.append(refusal("R14", "second_no_office"))
    if not chosen.evidence and not chosen.records:
        out.append(refusal("R14", "nothing_chosen"))
    if {by.person.pk, second.person.pk} & (chosen.evidence | chosen.records):
        out.append(refusal("R14", "own_record"))
    early = chosen.evidence - {each.person.pk for each in due.evidence}
    early |= chosen.records - {each.person.pk for each in due.records}
    if early:
        out.append(refusal("R14", "not_due", count=len(early)))
    return out


def _erase_evidence(plant: Plant, due: DueEvidence, signers: tuple[Signer, Signer], now: datetime) -> int:
    count, _ = Detached.objects.filter(digest__in=due.digests).delete()
    _enter(plant, due.person, "evidence", {"texts": count}, signers, now)
    return count


def _erase_record(plant: Plant, person: Person, signers: tuple[Signer, Signer], now: datetime) -> Erased:
    """Take the person out of the record: name, number, texts, sign-in, rota. What was signed stays, without a name."""
    rows = Detached.objects.filter(person=person.pk)
    names = rows.filter(kind="name").count()
    texts = rows.filter(kind__in=[kind.value for kind in TextKind]).count()
    rows.delete()
    Assignment.objects.filter(person=person).exclude(note="").update(note="")
    RosterDay.objects.filter(person=person).delete()
    Absence.objects.filter(person=person).delete()
    Reminder.objects.filter(person=person).delete()
    RevisionNotice.objects.filter(person=person).delete()
    _erase_reverse_rows(person)
    remove_jobs_about(person=person)
    user = person.user
    Person.objects.filter(pk=person.pk).update(
        user=None,
        works_number=f"{ERASED_NUMBER}{person.pk}",
        name=ERASED_NAME,
        email="",
        crew=None,
        area=None,
        restricted_until=None,
        language="",
        pin_hash="",
    )
    if user is not None:
        _erase_sign_in(user)
    _enter(plant, person, "record", {"names": names, "texts": texts}, signers, now)
    return Erased(texts, names, 1)


def _erase_sign_in(user: User) -> None:
    """Delete a sign-in, and what is remembered of tries under its name."""
    for tries in (AccessAttempt, AccessFailureLog, AccessLog):
        tries.objects.filter(username=user.get_username()).delete()
    User.objects.filter(pk=user.pk).delete()


def _erase_reverse_rows(person: Person) -> None:
    """Delete the person's practice, which is nobody else's business and no evidence of anything."""
    for name in PRACTICE:
        rows = getattr(person, name, None)
        if rows is not None:
            rows.all().delete()


def _enter(
    plant: Plant, person: Person, rule: str, counts: dict[str, int], signers: tuple[Signer, Signer], now: datetime
) -> None:
    by, second = signers
    append_for_plant(
        kind=EntryKind.ERASURE,
        plant=plant,
        signer=by,
        now=now,
        fields={
            "subject": person.pk,
            "rule": rule,
            "counts": counts,
            "second_approver": second.person.pk,
        },
    )


def _leave_no_trace() -> None:
    """Empty SQLite's log of changes, so that what was erased is not readable in the file beside the database."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
