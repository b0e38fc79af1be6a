"""What the files of the lists hold: each row of a list as plain cells, a fixed number of queries a list."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any, Final

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.models import LedgerIndex, LegalHold, Person, Plant, StandingPeriod
from competencies.queries.journal import JournalLine, journal_lines
from competencies.queries.line_cover import LineCover, SlotCover
from competencies.queries.people import standings_counted
from competencies.queries.record_index import record_rows
from competencies.queries.retention import KeptBack
from competencies.queries.reviews import ReviewLine, review_lines
from competencies.queries.tasks import TaskRow
from competencies.queries.unit_pages import UnitsPage
from competencies.templatetags.cover_words import short_words
from competencies.templatetags.entry_words import kind_words
from competencies.templatetags.standing_words import standing_word
from competencies.templatetags.task_words import criticality_words, short_terms
from competencies.templatetags.unit_words import version_words
from competencies.views.table_files import ListTable
from competencies.wording import sentence

#: The ledger is read in parts of this many entries, so that a long one is never held whole.
PART: Final = 2_000


def people_table(people: QuerySet[Person], *, now: datetime) -> ListTable:
    """Return the people with what they may do. Two queries."""
    found = list(people)
    counted = standings_counted(found, now=now)
    heads = [_("Employee number"), _("Name"), _("Crew"), _("Area"), _("Started on"), _("Last working day")]
    heads += [_("May do alone (tasks)"), _("Learning (tasks)"), _("Out (tasks)")]
    rows = [
        [
            *(person.works_number, person.name, person.crew, person.area, person.started_on, person.last_day),
            *(counted[person.pk][sort] for sort in ("alone", "learning", "out")),
        ]
        for person in found
    ]
    return ListTable(name="people", heads=heads, rows=rows)


def tasks_table(rows: Iterable[TaskRow]) -> ListTable:
    """Return the tasks with what they ask and how many people count."""
    heads = [_("Area"), _("Task"), _("Title"), _("Asks"), _("Critical"), _("May do it alone today (people)")]
    cells = [
        [
            *(row.task.area.title, row.task.code, row.task.title, short_terms(row.terms)),
            *(criticality_words(row.task.criticality), row.holders),
        ]
        for row in rows
    ]
    return ListTable(name="tasks", heads=heads, rows=cells)


def ledger_table(rows: QuerySet[LedgerIndex], plant: Plant, *, known_on: date | None) -> ListTable:
    """Return the entries; a fixed number of queries for each part of them."""
    heads = [_("Entry"), _("What"), _("Task"), _("Place"), _("About"), _("Signed by"), _("Happened"), _("Recorded")]
    return ListTable(
        name="ledger",
        heads=[*heads, _("Late"), _("About entry"), _("Corrected by entry")],
        rows=(_entry(line) for line in _parts(rows, plant, known_on)),
    )


def _parts(rows: QuerySet[LedgerIndex], plant: Plant, known_on: date | None) -> Iterator[JournalLine]:
    for part in Paginator(rows, PART):
        yield from journal_lines(list(part.object_list), plant, known_on=known_on)


def _entry(line: JournalLine) -> list[object]:
    row = line.row
    return [
        *(row.pk, kind_words(row.kind), row.task, row.scope, line.person, line.actor),
        *(row.happened_at, row.recorded_at, _("late") if line.is_late else "", row.of, line.corrected_by),
    ]


def records_table(people: QuerySet[Person], *, on: date) -> ListTable:
    """Return whose records may be printed, a row for each pathway they are on. Fixed queries."""
    heads = [_("Employee number"), _("Name"), _("Crew"), _("Pathway"), _("Credits"), _("Credits needed")]
    rows: list[list[object]] = []
    for row in record_rows(list(people), on=on):
        person = [row.person.works_number, row.person.name, row.person.crew]
        asked = [(way.qualification, way.result.total) for way in row.pathways]
        ways = [[pathway.code, have, pathway.min_total_credits] for pathway, have in asked]
        rows += [[*person, *way, row.printed_at] for way in ways or [[""] * 3]]
    return ListTable(name="records", heads=[*heads, _("Last printed")], rows=rows)


def reviews_table(rows: QuerySet[StandingPeriod, StandingPeriod], plant: Plant) -> ListTable:
    """Return the sign-offs under review. Fixed queries."""
    heads = [_("Employee number"), _("Name"), _("Task"), _("Place"), _("Standing"), _("Counts"), _("Counts until")]
    heads += [_("Assessed on"), _("Assessed by"), _("Under review since")]
    cells = [cells for line in review_lines(list(rows), plant) for cells in _reviewed(line)]
    return ListTable(name="under-review", heads=heads, rows=cells)


def _reviewed(line: ReviewLine) -> list[list[object]]:
    person, counts = line.row.person, _("yes") if line.period.counts else _("no")
    head = [person.works_number, person.name, line.row.task.code, str(line.scope)]
    head += [standing_word(line.period.standing), counts]
    return [
        [*head, line.until_on, each.assessment.on, each.assessor, each.review.happened_at] for each in line.reviewed
    ]


def kept_table(kept: Iterable[KeptBack]) -> ListTable:
    """Return what is old enough to be erased and is kept back."""
    heads = [_("Employee number"), _("Name"), _("What"), _("Texts"), _("Legal holds")]
    rows = [
        [
            *(each.person.works_number, each.person.name),
            *((_("texts"), each.count) if each.what == "evidence" else (_("the name and the record"), "")),
            "; ".join(hold.incident for hold in each.holds) or _("no moderation has been recorded since"),
        ]
        for each in kept
    ]
    return ListTable(name="kept-back", heads=heads, rows=rows)


def holds_table(holds: Iterable[LegalHold]) -> ListTable:
    """Return the legal holds, open ones first."""
    heads = [_("Incident"), _("People"), _("Task"), _("Line"), _("From"), _("Until")]
    rows = [
        [
            *(hold.incident, "; ".join(person.name for person in hold.people.all()) or _("everybody")),
            *(hold.task.code if hold.task else _("every task"), hold.line.code if hold.line else _("every line")),
            *(hold.from_on, hold.until_on, hold.set_by, hold.set_at, hold.ended_by, hold.ended_at),
        ]
        for hold in holds
    ]
    heads += [_("Set by"), _("Set"), _("Ended by"), _("Ended")]
    return ListTable(name="legal-holds", heads=heads, rows=rows)


def units_table(shown: UnitsPage) -> ListTable:
    """Return the versions of the units, with who is part-way."""
    heads = [_("Unit"), _("Version"), _("Title"), _("Level"), _("Group"), _("Credits"), _("State")]
    rows = [
        [
            *(each.unit.code, each.unit.version, each.unit.title, each.unit.level, each.unit.group),
            *(each.unit.credits, version_words(each.unit, each.state), each.achieved),
            "; ".join(person.name for person in each.part_way),
        ]
        for each in shown.versions
    ]
    return ListTable(name="units", heads=[*heads, _("Achieved (people)"), _("Part-way")], rows=rows)


def cover_table(covers: Iterable[LineCover]) -> ListTable:
    """Return a row for each place that must be manned, by day, shift and line."""
    heads = [_("Day"), _("Shift"), _("Line"), _("What is short there"), _("Task"), _("Title"), _("Machine")]
    heads += [_("Stands there"), _("Signed off until"), _("Short"), _("Could as well"), _("Hours")]
    rows = (
        [cover.on, cover.shift.title, cover.line.title, short_words(cover), *_slot(slot)]
        for cover in covers
        for slot in cover.slots
    )
    return ListTable(name="cover", heads=heads, rows=rows)


def _slot(slot: SlotCover) -> list[Any]:
    station = slot.station
    return [
        *(station.task.code, station.task.title, station.machine.title if station.machine else ""),
        *(slot.person or _("nobody"), slot.last_valid_on, _("short") if slot.is_short else ""),
        "; ".join(person.name for person in slot.others),
        " ".join(capfirst(sentence(reason)) for reason in slot.warnings),
    ]
