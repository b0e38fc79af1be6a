"""How assessors judge: leniency, drift, criteria nobody misses, tasks learned from one, whom to compare (R15.3)."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import combinations
from typing import Any, Final

from competencies.ledger.reading import read_entry
from competencies.models import Criterion, LedgerEntry, LedgerIndex, Person, Plant, StandingPeriod, Task
from competencies.queries.standing import known_rows
from competencies.standing.calendar import add_months, clock_of
from competencies.statistics.leniency import LEAST, Leniency, Performance, leniencies
from competencies.vocabulary import EntryKind, Judgement

# So far back it is looked: enough performances, and still the same people.
MONTHS: Final = 24
YEAR: Final = timedelta(days=365)
MOST_PAIRS: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgeRow:
    """An assessor: how many performances, the figure over all (None: too few), and by quarter."""

    person: Person | None
    performances: int
    leniency: Leniency | None
    quarters: Sequence[tuple[str, Leniency]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverUnmet:
    """A criterion that was seen so often within the year and never found not met."""

    task: Task
    revision: int
    number: int
    text: str
    seen: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OneTrainer:
    """A task of which everybody who counts, as far as runs are told, learned from the same person."""

    task: Task
    trainer: Person
    holders: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Compare:
    """Two assessors whose leniency is known least, and the tasks that both of them judge."""

    one: Person
    other: Person
    tasks: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judges:
    """All that is told of how assessors judge since a day."""

    since: date
    rows: Sequence[JudgeRow]
    never_unmet: Sequence[NeverUnmet]
    one_trainer: Sequence[OneTrainer]
    compare: Sequence[Compare]


@dataclass(frozen=True, slots=True)
class _Judged:
    assessor: int
    trainee: int
    task: str
    revision: int
    on: date
    judged: Mapping[int, Judgement]


def judges(plant: Plant, *, now: datetime) -> Judges:
    """Return how the plant's assessors judge. A fixed number of queries for any number of them."""
    on = clock_of(plant.timezone).day(now)
    since = add_months(on, -MONTHS)
    found = _judged(plant, since)
    fit = leniencies(filter(None, map(_performance, found)))
    people = Person.objects.filter(plant=plant).in_bulk(fit.doubt)
    counts = Counter(each.assessor for each in found)
    rows = [
        JudgeRow(
            person=people.get(number),
            performances=counts[number],
            leniency=figure,
            quarters=fit.by_quarter[number],
        )
        for number, figure in fit.by_assessor.items()
    ]
    return Judges(
        since=since,
        rows=sorted(rows, key=lambda row: row.person.name if row.person else ""),
        never_unmet=_never_unmet(plant, [each for each in found if each.on > on - YEAR]),
        one_trainer=_one_trainer(plant, now),
        compare=_compare(found, fit.doubt, people),
    )


def _judged(plant: Plant, since: date) -> list[_Judged]:
    """Return the judgements since a day, without those that were struck or taken over from an older record."""
    rows = LedgerEntry.objects.filter(
        index__plant=plant, index__kind=EntryKind.ASSESSMENT, index__happened_on__gte=since
    )
    corrections = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.CORRECTION).values_list("entry_id", "of")
    told = dict(corrections)
    struck = {of for seq, of in told.items() if seq not in told.values()}
    entries = [read_entry(row) for row in rows.order_by("seq")]
    return [_from_entry(each) for each in entries if each["seq"] not in struck and not each.get("imported")]


def _from_entry(entry: Mapping[str, Any]) -> _Judged:
    return _Judged(
        assessor=entry.get("by", entry["actor"]),
        trainee=entry["subject"],
        task=entry["task"],
        revision=entry["revision"],
        on=entry["happened_on"],
        judged=entry.get("judged", {}),
    )


def _performance(each: _Judged) -> Performance | None:
    """Return what was seen of a performance; what was not seen is neither met nor missed (R2.3)."""
    seen = [judgement for judgement in each.judged.values() if judgement is not Judgement.NOT_SEEN]
    if not seen:
        return None
    met = sum(1 for judgement in seen if judgement is Judgement.MET)
    return Performance(
        assessor=each.assessor, trainee=each.trainee, task=each.task, on=each.on, met=met, seen=len(seen)
    )


def _never_unmet(plant: Plant, found: Iterable[_Judged]) -> list[NeverUnmet]:
    seen: Counter[tuple[str, int, int]] = Counter()
    missed: set[tuple[str, int, int]] = set()
    for each in found:
        for number, judgement in each.judged.items():
            key = (each.task, each.revision, number)
            seen[key] += judgement is not Judgement.NOT_SEEN
            if judgement is Judgement.NOT_MET:
                missed.add(key)
    wanted = {key: count for key, count in seen.items() if count >= LEAST and key not in missed}
    rows = Criterion.objects.filter(revision__task__plant=plant, revision__task__code__in={key[0] for key in wanted})
    criteria = {
        (row.revision.task.code, row.revision.number, row.number): row for row in rows.select_related("revision__task")
    }
    return [
        NeverUnmet(
            task=criteria[key].revision.task, revision=key[1], number=key[2], text=criteria[key].text, seen=count
        )
        for key, count in sorted(wanted.items(), key=lambda each: (-each[1], each[0]))
        if key in criteria
    ]


def _one_trainer(plant: Plant, now: datetime) -> list[OneTrainer]:
    """Return the tasks of which at least two people count, all of them taught by one (teach-back risk)."""
    counting = StandingPeriod.objects.filter(known_rows(None), person__plant=plant, counts=True)
    counting = counting.exclude(starts_at__gt=now).exclude(ends_at__lte=now)
    holders: dict[str, set[int]] = defaultdict(set)
    for person, code in counting.values_list("person_id", "task__code"):
        holders[code].add(person)
    taught: dict[str, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))
    runs = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.RUN, task__in=holders)
    for learner, code, watcher in runs.values_list("person", "task", "actor").distinct():
        if learner in holders[code] and watcher is not None:
            taught[code][learner].add(watcher)
    alone = {code: watchers for code, of in taught.items() if len(watchers := set().union(*of.values())) == 1}
    tasks = Task.objects.filter(plant=plant, code__in=alone).order_by("code")
    trainers = Person.objects.in_bulk({number for watchers in alone.values() for number in watchers})
    return [
        OneTrainer(task=task, trainer=trainers[min(alone[task.code])], holders=len(taught[task.code]))
        for task in tasks
        if len(taught[task.code]) > 1 and min(alone[task.code]) in trainers
    ]


def _compare(found: Collection[_Judged], doubt: Mapping[int, float], people: Mapping[int, Person]) -> list[Compare]:
    """Return the pairs that share a task and whose difference in leniency is in most doubt, most doubtful first.

    One performance judged by both tells of the difference of the two, whose variance is the sum of theirs.
    """
    tasks: dict[int, set[str]] = defaultdict(set)
    for each in found:
        tasks[each.assessor].add(each.task)
    pairs = [
        (doubt[one] ** 2 + doubt[other] ** 2, one, other)
        for one, other in combinations(sorted(doubt), 2)
        if one in people and other in people and tasks[one] & tasks[other]
    ]
    ranked = sorted(pairs, key=lambda pair: (-pair[0], pair[1], pair[2]))[:MOST_PAIRS]
    return [
        Compare(one=people[one], other=people[other], tasks=sorted(tasks[one] & tasks[other]))
        for _variance, one, other in ranked
    ]
