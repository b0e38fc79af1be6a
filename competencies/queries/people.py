"""The people of a plant as a list, and everything about one of them on a day."""

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Q, QuerySet

from competencies.models import Assignment, Authority, LedgerIndex, Person, Plant, StandingPeriod, Task
from competencies.queries.facts import facts_of_people, grants_of, rule_of
from competencies.queries.pathways import PathwayProgress, pathways_of
from competencies.queries.signatures import Signature, signatures
from competencies.queries.standing import Held, end_of_day, standings_at
from competencies.standing.calendar import INSTANT
from competencies.standing.facts import Assessment, Correction, Fact, Scope
from competencies.standing.live import corrected
from competencies.standing.refusals import AuthorityGrant
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import AuthorityKind, Standing

AHEAD_DAYS, BEHIND_DAYS, ZOOM_DAYS = 120, 30, 120
PERCENT = 100


def people_found(plant: Plant, asked: Mapping[str, Any], *, on: date, now: datetime) -> QuerySet[Person]:
    """Return the plant's people that a search asks for, by name.

    `asked` may hold text (name or employee number), crew, area, role, standing; `left` shows leavers as well.
    """
    found = Person.objects.filter(plant=plant).select_related("crew", "area")
    if not asked.get("left"):
        found = found.filter(Q(last_day=None) | Q(last_day__gte=on))
    if text := asked.get("text"):
        found = found.filter(Q(name__icontains=text) | Q(works_number__icontains=text))
    for name in ("crew", "area"):
        if asked.get(name):
            found = found.filter(**{name: asked[name]})
    if role := asked.get("role"):
        found = found.filter(pk__in=Authority.objects.in_force(on).filter(kind=role).values("person"))
    if standing := asked.get("standing"):
        here = StandingPeriod.objects.filter(
            Q(starts_at=None) | Q(starts_at__lte=now), Q(ends_at=None) | Q(ends_at__gt=now), known_to=None
        )
        found = found.filter(pk__in=here.filter(standing=standing).values("person"))
    return found.order_by("name", "works_number")


def standings_counted(people: Collection[Person], *, now: datetime) -> Mapping[int, Counter[str]]:
    """Return for each person on how many tasks they count, learn, and are out. One query."""
    counted: dict[int, Counter[str]] = defaultdict(Counter)
    for held in standings_at(people=[person.pk for person in people], moment=now):
        if held.period.standing is not Standing.NOT_STARTED:
            counted[held.person_id][_sort(held.period)] += 1
    return counted


def _sort(period: Period) -> str:
    if period.counts:
        return "alone"
    is_learning = period.standing in {Standing.LEARNING, Standing.READY}
    return "learning" if is_learning or period.standing is Standing.AWAITING_SIGNATURE else "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskStanding:
    """A task, and where somebody stands on it."""

    task: Task
    scope: Scope
    period: Period


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonPage:
    """Everything about a person on a day, as known at a moment."""

    areas: Sequence[tuple[str, Sequence[TaskStanding]]]
    pathways: Sequence[PathwayProgress]
    assignments: Sequence[Assignment]
    authorities: Sequence[Authority]


def person_page(person: Person, *, moment: datetime, on: date, known: datetime | None) -> PersonPage:
    """Return the page of a person. Fixed queries."""
    tasks = {row.code: row for row in Task.objects.filter(plant=person.plant_id).select_related("area")}
    held = standings_at(people=[person.pk], moment=moment, known=known)
    authorities = Authority.objects.filter(person=person).select_related("area", "person__plant").order_by("from_on")
    if known is not None:
        authorities = authorities.filter(recorded_at__lte=known)
    return PersonPage(
        areas=_by_area(held, tasks),
        pathways=pathways_of([person], on=on, known=known),
        assignments=list(
            Assignment.objects.filter(person=person, on__gte=on, state=Assignment.State.PLANNED)
            .select_related("task", "shift", "line", "trainer")
            .order_by("on", "shift__starts")[:20]
        ),
        authorities=list(authorities),
    )


def _by_area(held: Sequence[Held], tasks: Mapping[str, Task]) -> list[tuple[str, list[TaskStanding]]]:
    areas: dict[str, list[TaskStanding]] = defaultdict(list)
    for each in held:
        if task := tasks.get(each.task_code):
            areas[task.area.title].append(TaskStanding(task=task, scope=each.scope, period=each.period))
    return sorted(areas.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry about a person on a task: the fact, its signature, what strikes it, and what relied on it."""

    fact: Fact
    kind: str
    signature: Signature | None
    struck_by: int | None
    relied_on_by: Sequence[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Who assessed, and what entitled them to on that day: their own standing and their authorities."""

    assessor: Person | None
    on: date
    periods: Sequence[Period]
    grants: Sequence[AuthorityGrant]


@dataclass(frozen=True, slots=True)
class Clocks:
    """The day asked about and its moment, and the moment whose knowledge is used (None: now).

    `is_named`: the day was asked for by name, so that the band is drawn around it.
    """

    on: date
    moment: datetime
    known: datetime | None = None
    is_named: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonTask:
    """A person on a task in a scope over time. `band` is what components/timeline_band.html draws."""

    period: Period
    band: Sequence[Mapping[str, Any]]
    marker: float
    entries: Sequence[Entry]
    chain: Chain | None


def person_task(person: Person, task: Task, scope: Scope, clocks: Clocks) -> PersonTask:
    """Return a person on a task at a moment, as known. Fixed queries."""
    on, moment, known = clocks.on, clocks.moment, clocks.known
    timeline = rule_of(person, known=known).timeline(task.code, scope)
    entries = entries_about(person, task, scope, known=known)
    first = min((each.fact.on for each in entries), default=on)
    if clocks.is_named:
        window = on - timedelta(days=ZOOM_DAYS), on + timedelta(days=ZOOM_DAYS)
    else:
        window = min(first, on) - timedelta(days=BEHIND_DAYS), on + timedelta(days=AHEAD_DAYS)
    start, end = (end_of_day(day, person.plant) for day in window)
    assessed = [each.fact for each in entries if isinstance(each.fact, Assessment) and each.struck_by is None]
    return PersonTask(
        period=timeline.at(moment),
        band=_band(timeline, start, end),
        marker=_share(moment, start, end),
        entries=entries,
        chain=_chain(assessed[-1], task) if assessed else None,
    )


def _share(moment: datetime, start: datetime, end: datetime) -> float:
    return round(min(max((moment - start) / (end - start), 0.0), 1.0) * PERCENT, 2)


def _band(timeline: Timeline, start: datetime, end: datetime) -> list[dict[str, Any]]:
    band = []
    for period in timeline.between(start, end):
        opens = max(period.start, start) if period.start else start
        closes = min(period.end, end) if period.end else end
        left = _share(opens, start, end)
        band.append(
            {
                "standing": period.standing.value,
                "from_on": opens,
                "until_on": period.end - INSTANT if period.end else None,
                "start": left,
                "width": round(_share(closes, start, end) - left, 2),
            }
        )
    return band


def entries_about(person: Person, task: Task, scope: Scope, *, known: datetime | None = None) -> list[Entry]:
    """Return the entries about a person on a task in a scope, oldest first, corrected ones too. Four queries."""
    rows = LedgerIndex.objects.filter(person=person.pk, task=task.code, scope=str(scope))
    if known is not None:
        rows = rows.filter(recorded_at__lte=known)
    kinds = dict(rows.values_list("entry_id", "kind"))
    facts = [fact for fact in facts_of_people([person.pk])[person.pk] if fact.seq in kinds]
    signed = signatures(kinds)
    struck = {fact.of: fact.seq for fact in facts if isinstance(fact, Correction)}
    out = corrected(facts)
    return [
        Entry(
            fact=fact,
            kind=kinds[fact.seq],
            signature=signed.get(fact.seq),
            struck_by=struck.get(fact.seq) if fact.seq in out else None,
            relied_on_by=relying(fact.seq, signed),
        )
        for fact in facts
    ]


def relying(seq: int, signed: Mapping[int, Signature]) -> list[int]:
    """Return the entries that name this one as evidence or point at it."""
    return [
        place
        for place, each in signed.items()
        if seq in (each.entry.get("evidence") or ()) or each.entry.get("of") == seq
    ]


def _chain(fact: Assessment, task: Task) -> Chain:
    by = [fact.by] if fact.by is not None else []
    assessor = Person.objects.filter(pk__in=by, plant=task.plant_id).first()
    held = standings_at(people=by, moment=fact.happened_at, tasks=[task.code])
    kinds = {AuthorityKind.ASSESS, AuthorityKind.TRAIN}
    grants = [
        grant
        for number in by
        for grant in grants_of(by)[number]
        if grant.kind in kinds and grant.from_on <= fact.on and (grant.until_on is None or grant.until_on >= fact.on)
    ]
    return Chain(assessor=assessor, on=fact.on, periods=[each.period for each in held], grants=grants)
