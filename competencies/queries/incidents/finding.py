"""Finds what is to be known of a minute on a line: who was on, did they count by both clocks, who had judged them."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import chain

from django.db.models import Q

from competencies.ledger.reading import read_entry
from competencies.models import Absence, Assignment, LedgerEntry, LedgerIndex, Line, RosterDay, Shift, Station
from competencies.queries.answers import NOTHING_KNOWN, changed_by
from competencies.queries.chain import judges_of
from competencies.queries.cover import covers_of
from competencies.queries.cover_slots import scope_of
from competencies.queries.frame import frame_of
from competencies.queries.incidents.parts import (
    AtStation,
    IncidentFound,
    LessonFound,
    Presence,
    Said,
    SignedBy,
    StationFound,
    Warned,
    Way,
)
from competencies.queries.retention import open_holds
from competencies.queries.roster import lessons_on
from competencies.queries.standing import timelines_of
from competencies.standing.calendar import ONE_DAY, clock_of
from competencies.standing.cover import judge_shift
from competencies.standing.entitlement import Refusal
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.live import known_frame
from competencies.standing.retention import Kept
from competencies.standing.timeline import Period, Reason, Timeline
from competencies.vocabulary import Criticality, EntryKind, Standing

Timelines = Mapping[tuple[int, str, Scope], Timeline]
# Work on the floor that an entry tells of: how the person it is about was there, and how who watched or judged was.
WORK: Mapping[EntryKind, tuple[Way, Way]] = {
    EntryKind.RUN: (Way.RUN, Way.WATCHED),
    EntryKind.PERFORMANCE: (Way.WORK, Way.WORK),
    EntryKind.ASSESSMENT: (Way.RUN, Way.JUDGED),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked about: a minute of a shift of a line, looked at with all that is known at `now`."""

    line: Line
    shift: Shift
    on: date
    moment: datetime
    now: datetime


def shifts_at(shifts: Iterable[Shift], frame: Frame, moment: datetime) -> list[tuple[Shift, date]]:
    """Return the shifts that run at a moment, each with the date it starts on; the one that began last comes first."""
    clock = clock_of(frame.timezone)
    found = []
    for shift in shifts:
        for day in (clock.day(moment), clock.day(moment) - ONE_DAY):
            start, end = clock.shift_bounds(frame.shifts[shift.name], day)
            if start <= moment < end:
                found.append((start, shift, day))
    return [(shift, day) for _start, shift, day in sorted(found, key=lambda each: each[0], reverse=True)]


def incident_found(asked: Asked) -> IncidentFound:
    """Return what is found. A fixed number of queries for any number of people and stations."""
    line, shift, on, moment = asked.line, asked.shift, asked.on, asked.moment
    frame = frame_of(line.plant)
    start, end = clock_of(frame.timezone).shift_bounds(frame.shifts[shift.name], on)
    [cover_now] = covers_of(lines=[line], shift=shift, on=on)
    [cover_then] = covers_of(lines=[line], shift=shift, on=on, known=moment)
    lessons = lessons_on([shift], [on]).get((on, shift.pk), {}).get(line.pk, [])
    present = _present(asked, lessons, (start, end))
    stations = _stations(asked, frame, {each.person for each in present})
    rests_on = {seq for station in stations for each in station.people for seq in _rests_on(each)}
    return IncidentFound(
        line=line.code,
        shift=shift.name,
        on=on,
        start=start,
        end=end,
        moment=moment,
        known_at=asked.now,
        size=_size(),
        covered_then=bool(stations) and cover_then.is_covered_at(moment),
        covered_now=bool(stations) and cover_now.is_covered_at(moment),
        stations=stations,
        present=present,
        lessons=tuple(
            LessonFound(trainee=row.person_id, trainer=row.trainer_id, task=row.task.code) for row in lessons
        ),
        hours=tuple(Warned(person=person.pk, reasons=reasons) for person, reasons in cover_now.hours),
        signed=_signed(line, rests_on),
        holds=_holds(asked, {each.person for each in present}, {station.task for station in stations}),
    )


def _size() -> int:
    last = LedgerIndex.objects.order_by("-entry").values_list("entry", flat=True).first()
    return 0 if last is None else last + 1


def _present(asked: Asked, lessons: Sequence[Assignment], bounds: tuple[datetime, datetime]) -> tuple[Presence, ...]:
    """Return who was on by the roster, by what was planned, or by what the ledger says was done there."""
    ways: dict[int, list[Way]] = defaultdict(list)
    entries: dict[int, list[int]] = defaultdict(list)
    for person, way in chain(_by_roster(asked), _by_lesson(lessons)):
        ways[person].append(way)
    for seq, person, way in _by_entry(asked, bounds):
        ways[person].append(way)
        entries[person].append(seq)
    return tuple(
        Presence(person=person, ways=tuple(dict.fromkeys(found)), entries=tuple(dict.fromkeys(entries[person])))
        for person, found in sorted(ways.items())
    )


def _by_roster(asked: Asked) -> Iterator[tuple[int, Way]]:
    rows = RosterDay.objects.filter(Q(line=asked.line) | Q(line=None), on=asked.on, shift=asked.shift)
    rows = rows.select_related("person__joined_into")
    away = Absence.objects.filter(from_on__lte=asked.on, until_on__gte=asked.on, person__plant=asked.line.plant_id)
    missing = set(away.values_list("person", flat=True))
    for row in rows:
        person = row.person.joined_into_id or row.person_id
        yield person, Way.ROSTER if row.line_id else Way.ROSTER_ANYWHERE
        if row.person_id in missing:
            yield person, Way.AWAY


def _by_lesson(lessons: Sequence[Assignment]) -> Iterator[tuple[int, Way]]:
    for row in lessons:
        yield row.person_id, Way.TRAINEE
        yield row.trainer_id, Way.TRAINER


def _by_entry(asked: Asked, bounds: tuple[datetime, datetime]) -> Iterator[tuple[int, int, Way]]:
    """Yield what was signed as done at the line on the shift: an entry of the whole site tells of no line."""
    code = asked.line.code
    rows = LedgerEntry.objects.filter(
        Q(index__scope=code) | Q(index__scope__startswith=f"{code}/"),
        index__plant=asked.line.plant_id,
        index__kind__in=WORK,
        index__happened_at__gte=bounds[0],
        index__happened_at__lt=bounds[1],
    )
    for row in rows.order_by("seq"):
        entry = read_entry(row)
        own, other = WORK[EntryKind(entry["kind"])]
        yield row.seq, entry["subject"], own
        watcher = entry.get("by", entry.get("actor"))
        if watcher is not None and watcher != entry["subject"]:
            yield row.seq, watcher, other


def _stations(asked: Asked, frame: Frame, people: Collection[int]) -> tuple[StationFound, ...]:
    rows = Station.objects.filter(line=asked.line).select_related("task", "line", "machine")
    stations = list(rows.order_by("task__code", "machine__code"))
    tasks = {station.task.code for station in stations}
    then = timelines_of(people=people, tasks=tasks, known=asked.moment)
    now = timelines_of(people=people, tasks=tasks)
    between = changed_by(people, asked.line.plant, moment=asked.moment, then_at=asked.moment, tasks=tasks)
    day = clock_of(frame.timezone).day(asked.moment)
    frames = known_frame(frame, asked.moment), frame
    found = []
    for station in stations:
        code, scope = station.task.code, scope_of(station)
        numbers = [_revision(each, code, day) for each in frames]
        touched = [
            AtStation(
                person=person,
                then=_said(then.get((person, code, scope)), asked, frame),
                now=_said(now.get((person, code, scope)), asked, frame),
                between=tuple(between.get((person, code, scope), ())),
            )
            for person in sorted(people)
            if (person, code, scope) in then or (person, code, scope) in now
        ]
        found.append(
            StationFound(
                task=code,
                scope=str(scope),
                needed=station.needed,
                is_critical=Criticality(station.task.criticality).is_critical,
                revision_then=numbers[0],
                revision_now=numbers[1],
                people=tuple(each for each in touched if _has_begun(each)),
            )
        )
    return tuple(found)


def _has_begun(each: AtStation) -> bool:
    """Whether anything had begun by the minute; a first run on a later day says nothing about it."""
    return {each.then.standing, each.now.standing} != {Standing.NOT_STARTED}


def _revision(frame: Frame, code: str, day: date) -> int | None:
    revision = frame.tasks[code].revision_on(day) if code in frame.tasks else None
    return revision.number if revision else None


def _said(timeline: Timeline | None, asked: Asked, frame: Frame) -> Said:
    """Return what is said of a person at the minute; whether they counted is asked of the whole shift (R9.1)."""
    if timeline is None:
        return Said(
            standing=Standing.NOT_STARTED, counts=False, last_valid_on=None, revision=None, reasons=(), rests_on=()
        )
    period = _at(timeline, asked.moment)
    verdict = judge_shift(timeline, frame.shifts[asked.shift.name], asked.on, frame)
    counts = verdict.until > asked.moment
    return Said(
        standing=period.standing,
        counts=counts,
        last_valid_on=period.last_valid_on,
        revision=period.revision,
        reasons=tuple(dict.fromkeys([*period.reasons, *(() if counts else verdict.reasons)])),
        rests_on=period.rests_on,
    )


def _at(timeline: Timeline, moment: datetime) -> Period:
    return next((period for period in timeline.periods if period.holds_at(moment)), NOTHING_KNOWN)


def _rests_on(each: AtStation) -> frozenset[int]:
    """Return what the answers rest on, of whoever counted by either clock."""
    return frozenset(seq for said in (each.then, each.now) if said.counts for seq in said.rests_on)


def _signed(line: Line, seqs: Collection[int]) -> tuple[SignedBy, ...]:
    judges = judges_of(line.plant, seqs)
    return tuple(
        SignedBy(
            seq=seq,
            person=judge.fact.person,
            task=judge.fact.task,
            on=judge.fact.on,
            assessor=judge.fact.by or 0,
            then=_as_reasons(judge.then),
            now=_as_reasons(judge.now),
        )
        for seq, judge in sorted(judges.items())
    )


def _as_reasons(faults: Iterable[Refusal]) -> tuple[Reason, ...]:
    return tuple(Reason(fault.rule, fault.code, fault.params) for fault in faults)


def _holds(asked: Asked, people: Collection[int], tasks: Collection[str]) -> tuple[str, ...]:
    """Return the open holds that keep what happened there: of any of the people, on any of the stations' tasks."""
    return tuple(
        hold.incident
        for hold in open_holds(asked.line.plant)
        if hold.covers(
            Kept(
                people=frozenset(people),
                on=asked.on,
                task=hold.task if hold.task in tasks else "",
                scope=Scope(asked.line.code),
            )
        )
    )
