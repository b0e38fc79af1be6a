"""The two answers to one question about the past: as known then and as known now, and what came between (R13)."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from django.db.models import Q, QuerySet

from competencies.models import LedgerIndex, Person, Plant, StandingPeriod, Task
from competencies.queries.frame import frame_of
from competencies.queries.periods import period_from
from competencies.queries.signatures import Signature, signatures
from competencies.standing.facts import Scope
from competencies.standing.framework import Frame
from competencies.standing.scopes import all_prerequisites
from competencies.standing.timeline import Period
from competencies.vocabulary import Standing

NOTHING_KNOWN = Period(start=None, end=None, standing=Standing.NOT_STARTED, counts=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """An entry that was recorded between the two answers and changed what is said; `turned_to` is what followed."""

    seq: int
    kind: str
    task: str
    of: int | None
    happened_at: datetime
    recorded_at: datetime
    signature: Signature | None
    turned_to: Period


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoAnswers:
    """What could be said of a minute at `then_at`, and what is said now, with the entries that make the difference."""

    task_code: str
    scope: Scope
    then_at: datetime
    then: Period
    now: Period
    between: Sequence[Between] = ()


def says_the_same(one: Period, other: Period) -> bool:
    """Whether two periods answer a question about a minute in them alike; where they begin and end does not matter.

    Before the first entry nothing is known of a task, and after it that nothing had begun: that is one answer.
    """
    has_not_begun = one.standing is other.standing is Standing.NOT_STARTED
    return has_not_begun or _answer(one) == _answer(other)


def _answer(period: Period) -> tuple[object, ...]:
    return period.standing, period.counts, period.last_valid_on, period.revision, frozenset(period.reasons)


def two_answers(person: Person, task: Task, scope: Scope, *, moment: datetime, then_at: datetime) -> TwoAnswers | None:
    """Return both answers about `moment` where they differ (None: they do not). At most four queries."""
    rows = _since(moment, then_at).filter(person=person, task=task, scope=str(scope))
    known = _with_nothing_before([(row.known_from, period_from(row)) for row in rows], then_at)
    if not known or says_the_same(known[0][1], known[-1][1]):
        return None
    turns = _turns(known)
    return TwoAnswers(
        task_code=task.code,
        scope=scope,
        then_at=then_at,
        then=known[0][1],
        now=known[-1][1],
        between=_between(person, turns, bearing_on(frame_of(person.plant), task.code)),
    )


def answers_that_differ(
    people: Collection[int], *, moment: datetime, then_at: datetime, tasks: Iterable[str] | None = None
) -> Mapping[int, Sequence[TwoAnswers]]:
    """Return by person the tasks of which something else was said at `then_at` than is said now. One query."""
    # A row that is known at both moments gives both the same answer: only what came and what went is read.
    came, went = Q(known_to=None, known_from__gt=then_at), Q(known_from__lte=then_at, known_to__gt=then_at)
    rows = _covering(moment).filter(came | went, person__in=people).select_related("task")
    if tasks is not None:
        rows = rows.filter(task__code__in=tasks)
    found: dict[tuple[int, str, Scope], dict[str, Period]] = {}
    for row in rows.order_by("person_id", "task__code", "scope"):
        both = found.setdefault((row.person_id, row.task.code, Scope.parse(row.scope)), {})
        if row.known_to is None:
            both["now"] = period_from(row)
        else:
            both["then"] = period_from(row)
    differing: dict[int, list[TwoAnswers]] = {}
    for (person, code, scope), both in found.items():
        then, now = both.get("then", NOTHING_KNOWN), both.get("now", NOTHING_KNOWN)
        if not says_the_same(then, now):
            answers = TwoAnswers(task_code=code, scope=scope, then_at=then_at, then=then, now=now)
            differing.setdefault(person, []).append(answers)
    return differing


def changed_by(
    people: Collection[int], plant: Plant, *, moment: datetime, then_at: datetime, tasks: Collection[str]
) -> Mapping[tuple[int, str, Scope], Sequence[int]]:
    """Return by person, task and place the entries recorded since `then_at` that changed what is said of `moment`.

    Two queries, however many people and tasks.
    """
    rows = _since(moment, then_at).filter(person__in=people, task__code__in=tasks).select_related("task")
    known: dict[tuple[int, str, Scope], list[tuple[datetime, Period]]] = {}
    for row in rows:
        key = (row.person_id, row.task.code, Scope.parse(row.scope))
        known.setdefault(key, []).append((row.known_from, period_from(row)))
    turns = {key: _turns(_with_nothing_before(found, then_at)) for key, found in known.items()}
    moments = {since for found in turns.values() for since in found}
    about = LedgerIndex.objects.filter(Q(person__in=people) | Q(person=None), plant=plant, recorded_at__in=moments)
    entries = list(about.order_by("entry").values_list("entry_id", "person", "task", "recorded_at"))
    frame = frame_of(plant)
    bearing = {code: bearing_on(frame, code) for code in tasks}
    return {
        key: [
            seq
            for seq, person, task, recorded_at in entries
            if person in {None, key[0]} and task in bearing[key[1]] and recorded_at in found
        ]
        for key, found in turns.items()
        if found
    }


def _since(moment: datetime, then_at: datetime) -> QuerySet[StandingPeriod]:
    """Return what was said of a moment at another one and ever since, in order of knowledge."""
    return _covering(moment).filter(Q(known_to=None) | Q(known_to__gt=then_at)).order_by("known_from")


def _with_nothing_before(known: list[tuple[datetime, Period]], then_at: datetime) -> list[tuple[datetime, Period]]:
    is_new = bool(known) and known[0][0] > then_at
    return [(then_at, NOTHING_KNOWN), *known] if is_new else known


def _turns(known: Sequence[tuple[datetime, Period]]) -> dict[datetime, Period]:
    """Return the moments of recording at which something else was said, with what followed."""
    return {
        since: period for (_before_at, before), (since, period) in pairwise(known) if not says_the_same(before, period)
    }


def _covering(moment: datetime) -> QuerySet[StandingPeriod]:
    return StandingPeriod.objects.filter(
        Q(starts_at=None) | Q(starts_at__lte=moment), Q(ends_at=None) | Q(ends_at__gt=moment)
    )


def bearing_on(frame: Frame, code: str) -> frozenset[str]:
    """Return the tasks an entry about which can change what is said of a task; "" stands for an entry on no task."""
    refreshing = {other for other, task in frame.tasks.items() if any(code in terms.refreshes for terms in task.terms)}
    return frozenset({"", code, *all_prerequisites(frame, code), *refreshing})


def _between(person: Person, turns: Mapping[datetime, Period], tasks: Collection[str]) -> list[Between]:
    """Return the entries about the person, or about procedures, terms and settings, that were recorded at a turn."""
    about = Q(person=person.pk) | Q(person=None)
    found = LedgerIndex.objects.filter(about, plant=person.plant_id, recorded_at__in=list(turns), task__in=tasks)
    rows = list(found.order_by("entry"))
    signed = signatures([row.pk for row in rows])
    return [
        Between(
            seq=row.pk,
            kind=row.kind,
            task=row.task,
            of=row.of,
            happened_at=row.happened_at,
            recorded_at=row.recorded_at,
            signature=signed.get(row.pk),
            turned_to=turns[row.recorded_at],
        )
        for row in rows
    ]
