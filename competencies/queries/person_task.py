"""A person on a task: where they stand at a minute and why, over time, and every entry it rests on."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from competencies.models import LedgerIndex, Person, Task
from competencies.queries.answers import NOTHING_KNOWN, TwoAnswers, two_answers
from competencies.queries.band import Band, Window, band_of, days_of_change, window_around
from competencies.queries.doers import Doable, doable
from competencies.queries.facts import facts_of_people, is_mirrored, rule_of
from competencies.queries.signatures import Signature, signatures
from competencies.standing.belonging import belonging, kin_of
from competencies.standing.calendar import INSTANT, clock_of
from competencies.standing.case import order_of
from competencies.standing.facts import Correction, Fact, Scope
from competencies.standing.live import corrected, known_at
from competencies.standing.readiness import Progress
from competencies.standing.timeline import Period, Step, Timeline
from competencies.vocabulary import Standing

NEWCOMER = frozenset({Standing.NOT_STARTED, Standing.LEARNING, Standing.READY})


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry about a person on a task: the fact, its signature, what strikes it, and what relied on it."""

    fact: Fact
    kind: str
    signature: Signature | None
    struck_by: int | None
    relied_on_by: Sequence[int]

    @property
    def rests_on(self) -> Sequence[int]:
        """Return the entries that this one names as its evidence, or points at."""
        entry = self.signature.entry if self.signature else {}
        named = [*(entry.get("evidence") or ())]
        return sorted({*named, *([entry["of"]] if entry.get("of") is not None else [])})


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of a person on a task: the minute, the knowledge (None: all), the clock of now, the days drawn.

    `span` names a usual stretch around the day; `days` are the first and the last day where they were given by hand.
    """

    on: date
    moment: datetime
    now: datetime
    known: datetime | None = None
    span: str = ""
    days: tuple[date, date] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonTask:
    """The answer: the period that holds, the way back with who may, the drawing, the entries, and the other answer."""

    scope: Scope
    places: Sequence[Scope]
    period: Period
    progress: Progress | None
    doable: Sequence[Doable]
    band: Band
    entries: Sequence[Entry]
    answers: TwoAnswers | None

    @property
    def is_new(self) -> bool:
        """Whether the person was never signed off there."""
        return self.period.standing in NEWCOMER

    @property
    def until(self) -> datetime | None:
        """Return the last instant of the period (None: no end is known)."""
        return self.period.end - INSTANT if self.period.end else None


def person_task(person: Person, task: Task, scope: Scope | None, asked: Question) -> PersonTask:
    """Return a person on a task at a minute, as known. Fixed queries.

    Without a scope it is the first place at which the person has entries, else the whole site.
    """
    rule = rule_of(person, known=asked.known)
    places = rule.scopes_of(task.code)
    is_known = task.code in rule.frame.tasks
    held_at = rule.frame.tasks[task.code].held_at if is_known else ()
    here = scope if scope is not None else (*places, *held_at, Scope())[0]
    timeline = rule.timeline(task.code, here) if is_known else _unknown(person, task, here)
    period = timeline.at(asked.moment)
    progress = rule.progress(task.code, here, asked.moment) if is_known else None
    entries = entries_about(person, task, here, known=asked.known)
    then_at = min(asked.known or asked.moment, asked.now)
    clock = clock_of(person.plant.timezone)
    return PersonTask(
        scope=here,
        places=places,
        period=period,
        progress=progress,
        doable=doable(_steps_left(period, progress, task, here), person, on=clock.day(asked.now), now=asked.now),
        band=band_of(
            timeline,
            _window(asked, timeline, entries, person.plant.timezone),
            clock,
            moment=asked.moment,
            now=asked.now,
            entries=[(each.fact.seq, each.fact.happened_at, each.struck_by is not None) for each in entries],
        ),
        entries=entries,
        answers=two_answers(person, task, here, moment=asked.moment, then_at=then_at) if then_at < asked.now else None,
    )


def _steps_left(period: Period, progress: Progress | None, task: Task, here: Scope) -> Iterator[Step]:
    """Yield the steps of the way back; a newcomer's runs are those that are still missing."""
    for step in period.way_back:
        is_own_runs = step.action == "run" and (step.task, step.scope) == (task.code, here)
        if not is_own_runs or progress is None or period.standing not in NEWCOMER:
            yield step
        elif (missing := progress.runs_needed - len(progress.counted)) > 0:
            yield replace(step, count=missing)


def _unknown(person: Person, task: Task, scope: Scope) -> Timeline:
    """Return the timeline of a task that the record did not know yet."""
    return Timeline(person=person.pk, task=task.code, scope=scope, periods=(NOTHING_KNOWN,))


def _window(asked: Question, timeline: Timeline, entries: Sequence[Entry], timezone: str) -> Window:
    if asked.days is not None:
        return Window(from_on=asked.days[0], until_on=asked.days[1])
    known = [each.fact.on for each in entries]
    clock = clock_of(timezone)
    bounds = days_of_change(timeline.periods, clock)
    today = clock.day(asked.now)
    return window_around(
        asked.on, asked.span, first_on=min([*known, *bounds, today]), last_on=max([*known, *bounds, today])
    )


def entries_about(
    person: Person, task: Task, scope: Scope, *, known: datetime | None = None, size: int | None = None
) -> list[Entry]:
    """Return the entries about a person on a task in a scope, oldest first, corrected ones too. Four queries.

    `known` takes those written down by that moment, `size` those among the first of the ledger (None: all).
    """
    every = [fact for fact in facts_of_people([person.pk])[person.pk] if size is None or fact.seq < size]
    rows = LedgerIndex.objects.filter(person__in=kin_of(person.pk, every), task=task.code, scope=str(scope))
    if known is not None:
        rows = rows.filter(recorded_at__lte=known)
    if size is not None:
        rows = rows.filter(entry__lt=size)
    kinds = dict(rows.values_list("entry_id", "kind"))
    own = belonging(person.pk, every if known is None else known_at(every, known))
    facts = [fact for fact in own if fact.seq in kinds and not is_mirrored(fact)]
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
        for fact in sorted(facts, key=order_of)
    ]


def relying(seq: int, signed: Mapping[int, Signature]) -> list[int]:
    """Return the entries that name this one as evidence or point at it."""
    return [
        place
        for place, each in signed.items()
        if seq in (each.entry.get("evidence") or ()) or each.entry.get("of") == seq
    ]
