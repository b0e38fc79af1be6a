"""What an auditor asks of a line and a period: tasks, who was on, their sign-offs, what was taken back or mended."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q

from competencies.models import LedgerIndex, Line, Person, Task, TaskRevision
from competencies.queries.chain import HeldBy, SignOffChain, sign_off_chain, sign_offs_of
from competencies.queries.cover_shift import ShiftPage
from competencies.vocabulary import EntryKind

# Entries that take something back, mend it, or put it in doubt.
MENDING = (
    *(EntryKind.CORRECTION, EntryKind.WITHDRAWAL, EntryKind.SUSPENSION, EntryKind.LIFTING, EntryKind.ANNULMENT),
    *(EntryKind.REVIEW, EntryKind.REVERIFICATION, EntryKind.CHECK_OWED, EntryKind.APPEAL),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditSpan:
    """A line and a period of days, both in."""

    line: Line
    from_on: date
    until_on: date


def audited_tasks(line: Line) -> list[Task]:
    """Return the tasks of a line's stations. One query."""
    return list(Task.objects.filter(stations__line=line).distinct().order_by("code"))


def revisions_in_force(tasks: Collection[Task], span: AuditSpan) -> list[TaskRevision]:
    """Return every revision of the tasks that was in force on a day of the period. One query."""
    rows = TaskRevision.objects.filter(task__in=tasks, effective_on__lte=span.until_on)
    rows = rows.select_related("task", "approved_by", "second_approved_by").order_by("task__code", "-number")
    found, settled = [], set()
    for row in rows:
        if row.task_id not in settled:
            found.append(row)
        if row.effective_on <= span.from_on:
            settled.add(row.task_id)
    return found


def people_on(pages: Collection[ShiftPage]) -> list[Person]:
    """Return everybody who was rostered on one of the shifts, by name."""
    found = {person.pk: person for page in pages for person in page.cover.people}
    return sorted(found.values(), key=lambda person: (person.name, person.works_number))


def chains_of(person: Person, tasks: Collection[Task], *, moment: datetime) -> list[tuple[HeldBy, SignOffChain]]:
    """Return who stands behind each sign-off of a person on the tasks, at a moment. Fixed queries a sign-off."""
    by_code = {task.code: task for task in tasks}
    held = [each for each in sign_offs_of(person, moment=moment) if each.task_code in by_code]
    chains = [(each, sign_off_chain(person.plant, person, by_code[each.task_code], each.seq)) for each in held]
    return [(each, chain) for each, chain in chains if chain is not None]


def mending_entries(tasks: Collection[Task], people: Collection[Person], span: AuditSpan) -> Sequence[LedgerIndex]:
    """Return what was taken back, mended or put in doubt of these people on these tasks, or written in the period."""
    codes, numbers = [task.code for task in tasks], [person.pk for person in people]
    rows = LedgerIndex.objects.filter(plant=span.line.plant, kind__in=MENDING, person__in=numbers)
    rows = rows.filter(Q(task__in=codes) | Q(task=""))
    return list(rows.filter(happened_on__gte=span.from_on).order_by("entry"))
