"""Files that were read and shown, and wait until somebody says yes or no."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from django.db import transaction

from competencies.importing.people import PersonRow
from competencies.ledger.writer import writing
from competencies.models import PendingFile, Person
from competencies.operations.people import PeopleResult, import_people
from competencies.operations.pins import Signer
from competencies.operations.syllabus import ImportResult, SyllabusDecision, import_syllabus

# A spreadsheet of people must not lie about for longer than anybody would still say yes to it.
KEPT_FOR = timedelta(days=7)


class FileKind(StrEnum):
    """What a waiting file holds."""

    SYLLABUS = "syllabus"
    PEOPLE = "people"
    ROSTER = "roster"
    ABSENCES = "absences"


@dataclass(frozen=True, slots=True, kw_only=True)
class Upload:
    """A file as it came: its name only tells people which one it was."""

    kind: FileKind
    name: str
    content: bytes


@transaction.atomic
def keep_file(*, upload: Upload, by: Person, now: datetime) -> PendingFile:
    """Keep a file until it is decided on; it takes the place of the person's earlier one of its kind."""
    PendingFile.objects.filter(uploaded_by=by, kind=upload.kind).delete()
    PendingFile.objects.filter(plant=by.plant, uploaded_at__lt=now - KEPT_FOR).delete()
    return PendingFile.objects.create(
        plant=by.plant,
        kind=upload.kind,
        name=upload.name[:200],
        content=upload.content,
        uploaded_by=by,
        uploaded_at=now,
    )


@transaction.atomic
def throw_away(*, pending: PendingFile) -> None:
    """Throw a waiting file away."""
    PendingFile.objects.filter(pk=pending.pk).delete()


@writing()
def take_syllabus(*, pending: PendingFile, decision: SyllabusDecision, by: Signer, now: datetime) -> ImportResult:
    """Take the syllabus of a waiting file and let go of the file. Raises SyllabusError, and then it still waits."""
    result = import_syllabus(plant=pending.plant, decision=decision, by=by, now=now)
    throw_away(pending=pending)
    return result


@writing()
def take_people(*, pending: PendingFile, rows: tuple[PersonRow, ...], by: Signer, now: datetime) -> PeopleResult:
    """Take the people of a waiting file and let go of the file. Raises PeopleError, and then it still waits."""
    result = import_people(plant=pending.plant, rows=rows, by=by, now=now)
    throw_away(pending=pending)
    return result
