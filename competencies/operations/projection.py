"""Keeps the projected periods of standing in step with the ledger. A cache: the ledger is the truth."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import UTC, datetime

from django.db import transaction
from django.db.models import Q

from competencies.models import Person, Plant, StandingPeriod, Task
from competencies.queries.facts import facts_of_people
from competencies.queries.frame import frame_of, with_dependents
from competencies.queries.periods import period_values
from competencies.queries.replay import Frames, KnownPeriod, replayed
from competencies.standing.belonging import kin_of
from competencies.standing.facts import Fact, Scope
from competencies.standing.framework import Frame
from competencies.standing.rule import PersonRule

Key = tuple[str, Scope]
LONG_AGO = datetime.min.replace(tzinfo=UTC)
ROWS_AT_ONCE = 500

_deferred: ContextVar[bool] = ContextVar("deferred", default=False)

COMPARED = (
    "starts_at",
    "ends_at",
    "standing",
    "counts",
    "reasons",
    "way_back",
    "last_valid_on",
    "revision",
    "rests_on",
    "gained_at",
)


@transaction.atomic
def refresh_standing(*, people: Iterable[Person], task: str, now: datetime) -> None:
    """Bring the periods of `people` up to date with the whole ledger, for `task` and what depends on it.

    An empty `task` means every task: the person's age or employment changed. The records that were joined with one of
    the `people`, or parted from it, are brought up to date as well: an entry on one may belong to another.
    """
    people = list(people)
    if not people or _deferred.get():
        return
    frame = frame_of(people[0].plant)
    task_ids = _task_ids(people)
    reached = with_dependents(frame, task) if task else frozenset(task_ids)
    facts = facts_of_people([person.pk for person in people])
    people += _kin(people, facts)
    facts = {**facts, **facts_of_people({person.pk for person in people} - facts.keys())}
    for person in people:
        if _latest_moment(frame, facts[person.pk]) > now:
            # The server's clock has gone back: what was known when can only be told by starting over.
            rebuild_standing(people=[person])
        else:
            _project(person.pk, PersonRule(person.pk, facts[person.pk], frame), reached, task_ids, now)


def _kin(people: Collection[Person], facts: Mapping[int, Collection[Fact]]) -> list[Person]:
    """Return the further records that were joined with the people's or parted from them."""
    numbers = {person.pk for person in people}
    kin = frozenset().union(*(kin_of(number, facts[number]) for number in numbers)) - numbers
    return list(Person.objects.select_related("plant").filter(pk__in=kin).order_by("pk")) if kin else []


def _latest_moment(frame: Frame, facts: Collection[Fact]) -> datetime:
    return max({fact.recorded_at for fact in facts} | _frame_moments(frame, facts), default=LONG_AGO)


def _task_ids(people: Collection[Person]) -> Mapping[str, int]:
    plants = {person.plant_id for person in people}
    return dict(Task.objects.filter(plant__in=plants).values_list("code", "pk"))


def _project(
    person_id: int, rule: PersonRule, reached: Collection[str], task_ids: Mapping[str, int], now: datetime
) -> None:
    """Close the rows of the `reached` tasks that no longer hold and add those that do, as known from `now` on."""
    held = _held_rows(person_id, {task_ids[code]: code for code in reached}, now)
    opened: list[StandingPeriod] = []
    kept: set[int] = set()
    entered = rule.keys()
    for code, scope in {key for key in entered if key[0] in reached} | held.keys():
        for period in rule.timeline(code, scope).periods:
            row = StandingPeriod(
                person_id=person_id, task_id=task_ids[code], scope=str(scope), known_from=now, **period_values(period)
            )
            same = next((other for other in held.get((code, scope), ()) if _equal(row, other)), None)
            if same is None:
                opened.append(row)
            else:
                kept.add(same.pk)
    _close([row for rows in held.values() for row in rows], kept, now)
    StandingPeriod.objects.bulk_create(opened)


def _held_rows(person_id: int, codes: Mapping[int, str], now: datetime) -> dict[Key, list[StandingPeriod]]:
    """Return the rows known just before or at `now`: one closed at this very moment may turn out to hold after all."""
    rows = StandingPeriod.objects.filter(Q(known_to=None) | Q(known_to=now), person_id=person_id, task_id__in=codes)
    held: dict[Key, list[StandingPeriod]] = {}
    for row in rows:
        held.setdefault((codes[row.task_id], Scope.parse(row.scope)), []).append(row)
    return held


def _close(rows: Collection[StandingPeriod], kept: Collection[int], now: datetime) -> None:
    gone = [row for row in rows if row.pk not in kept]
    # A row that was opened at this very moment was never known: it goes, and leaves no trace.
    StandingPeriod.objects.filter(pk__in=[row.pk for row in gone if row.known_from == now]).delete()
    StandingPeriod.objects.filter(
        pk__in=[row.pk for row in gone if row.known_from != now and row.known_to is None]
    ).update(known_to=now)
    StandingPeriod.objects.filter(pk__in=[row.pk for row in rows if row.pk in kept and row.known_to]).update(
        known_to=None
    )


def _equal(one: StandingPeriod, other: StandingPeriod) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in COMPARED)


@contextmanager
def projected_at_the_end(*, plant: Plant) -> Iterator[None]:
    """Append without projecting each entry, and make all periods of the plant's people at the end.

    For loading a history in one transaction: the rows come out the same, but nobody may ask for a standing meanwhile.
    """
    token = _deferred.set(True)
    try:
        yield
    finally:
        _deferred.reset(token)
    rebuild_standing(people=Person.objects.filter(plant=plant).select_related("plant").order_by("pk"))


@transaction.atomic
def rebuild_standing(*, people: Iterable[Person]) -> int:
    """Drop the periods of `people` and make them again from the ledger, moment by moment. Returns the rows made."""
    people = list(people)
    if not people:
        return 0
    numbers = [person.pk for person in people]
    StandingPeriod.objects.filter(person__in=numbers).delete()
    frames = Frames(frame_of(people[0].plant))
    task_ids = _task_ids(people)
    facts = facts_of_people(numbers)
    made = 0
    for person_id in numbers:
        rows = [_row(person_id, known, task_ids) for known in replayed(person_id, facts[person_id], frames)]
        StandingPeriod.objects.bulk_create(rows, batch_size=ROWS_AT_ONCE)
        made += len(rows)
    return made


def _row(person_id: int, known: KnownPeriod, task_ids: Mapping[str, int]) -> StandingPeriod:
    code, scope = known.key
    return StandingPeriod(
        person_id=person_id,
        task_id=task_ids[code],
        scope=str(scope),
        known_from=known.known_from,
        known_to=known.known_to,
        **period_values(known.period),
    )


def _frame_moments(frame: Frame, facts: Collection[Fact]) -> set[datetime]:
    if not facts:
        return set()
    first = min(fact.recorded_at for fact in facts)
    issued = {terms.recorded_at for task in frame.tasks.values() for terms in task.terms}
    issued |= {revision.recorded_at for task in frame.tasks.values() for revision in task.revisions}
    issued |= {policy.recorded_at for policy in frame.policies if policy.recorded_at is not None}
    return {moment for moment in issued if moment > first}
