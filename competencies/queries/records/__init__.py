"""Progress records: everything about a person's way to being left alone at a task, on a day, as known at a moment."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from competencies.models import Person
from competencies.queries.records.decisions import attempt_lines, check_lines, correction_lines, event_lines
from competencies.queries.records.next_steps import next_actions
from competencies.queries.records.parts import ProgressRecord
from competencies.queries.records.pathways import needed_tasks, pathway_lines
from competencies.queries.records.sources import Cut, Sources, read_sources
from competencies.queries.records.standings import run_lines, task_lines
from competencies.queries.records.statement import differences, digest_of, statement
from competencies.queries.standing import end_of_day

__all__ = ["ProgressRecord", "differences", "digest_of", "progress_records", "statement"]


def progress_records(
    people: Iterable[Person], *, on: date, known: datetime | None, size: int | None = None
) -> list[ProgressRecord]:
    """Return the record of each person at the end of the day `on`, in the order given. A fixed number of queries.

    `known` takes only what was written down by that moment, `size` only the first entries of the ledger (None: all).
    Where either is given, `since` holds the lines that read differently as known now. The people are of one plant.
    """
    people = list(people)
    if not people:
        return []
    sources = read_sources(people, known=known)
    # Always up to a size: an entry that is written while the rows are read belongs to the next record.
    now = Cut(None, sources.size)
    then = Cut(known, sources.known_size if size is None else min(size, sources.size))
    records = [_record(sources, person, on, then) for person in sources.people]
    if then == now:
        return records
    latest = [_record(sources, person, on, now) for person in sources.people]
    pairs = zip(records, latest, strict=True)
    return [replace(record, since=differences(record, other)) for record, other in pairs]


def _record(sources: Sources, person: Person, on: date, cut: Cut) -> ProgressRecord:
    rule, moment = sources.rule(person, cut), end_of_day(on, sources.plant)
    facts = sources.facts_within(person, cut)
    pathways = pathway_lines(sources, person, rule, sources.enrolments_within(person, cut), on)
    tasks = task_lines(sources, rule, needed_tasks(pathways, sources.units), moment, on)
    return ProgressRecord(
        person=sources.named(person, cut),
        as_of=on,
        known=cut.known,
        size=cut.size,
        pathways=pathways,
        tasks=tasks,
        runs=run_lines(sources, rule, moment, on),
        checks=check_lines(sources, rule, on),
        attempts=attempt_lines(sources, rule, on),
        events=event_lines(sources, facts, on),
        corrections=correction_lines(sources, facts),
        next_actions=next_actions(tasks),
    )
