"""Who waits for an assessor, and which assessments wait for a second signature."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from django.db.models import Q, QuerySet

from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, LedgerIndex, Person, Plant, StandingPeriod, Task
from competencies.queries.assessments import roles_missing, second_signatures
from competencies.queries.facts import rules_of
from competencies.queries.frame import frame_of
from competencies.standing.facts import Annulment, Assessment, Scope
from competencies.standing.framework import Frame
from competencies.standing.live import live
from competencies.standing.readiness import Progress
from competencies.vocabulary import AuthorityKind, ChangeClass, EntryKind, Outcome, SecondRole, Standing

READY = frozenset({Standing.READY})
DUE = frozenset({Standing.RENEWAL_DUE, Standing.IN_GRACE})
OUT = frozenset({Standing.LAPSED, Standing.WITHDRAWN, Standing.SUSPENDED})
HOLDS = frozenset({Standing.IN_FORCE, *DUE})
# A coming revision is worth a delta as soon as it is approved, one in effect until everybody has taken it up.
REVISED_DAYS = 400

ROLE_OF = {AuthorityKind.SIGN_FOOD: SecondRole.FOOD, AuthorityKind.SIGN_SAFETY: SecondRole.SAFETY}


class Waiting(StrEnum):
    """Why somebody waits for an assessor, in the order in which they are shown."""

    READY = "ready"
    RETURN = "return"
    DELTA = "delta"
    RENEWAL = "renewal"


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A person who waits for an assessment of a task in a scope."""

    person: Person
    task: Task
    scope: Scope
    standing: Standing
    why: Waiting
    last_valid_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prospect:
    """A candidate with how far they are, and how many of the counted runs the assessor confirmed."""

    candidate: Candidate
    progress: Progress
    confirmed_by_me: int


def candidates(
    plant: Plant, *, areas: Collection[int] | None, moment: datetime, on: date, without: Person
) -> list[Candidate]:
    """Return who waits for an assessment in these areas (None: all), the most pressing first. Fixed queries.

    Left out: `without` (nobody assesses themselves), and who has left by the day `on`.
    """
    frame = frame_of(plant)
    rows = _periods(plant, areas, moment, on).exclude(person=without)
    revised = _revised(frame, on)
    newer = Q(pk__in=())
    for code, number in revised.items():
        newer |= Q(task__code=code, revision__lt=number)
    wanted = Q(standing__in=READY | DUE | OUT | {Standing.OUT_OF_REVISION}) | (Q(standing__in=HOLDS) & newer)
    found = [_candidate(row, revised) for row in rows.filter(wanted)]
    return sorted(_without_unready(found, moment), key=_urgency)


def _periods(
    plant: Plant, areas: Collection[int] | None, moment: datetime, on: date
) -> QuerySet[StandingPeriod, StandingPeriod]:
    rows = StandingPeriod.objects.filter(
        Q(starts_at=None) | Q(starts_at__lte=moment),
        Q(ends_at=None) | Q(ends_at__gt=moment),
        known_to=None,
        task__plant=plant,
        person__in=Person.objects.filter(plant=plant).employed(on),
    )
    if areas is not None:
        rows = rows.filter(task__area__in=areas)
    return rows.select_related("person__plant", "task__area")


def _revised(frame: Frame, on: date) -> Mapping[str, int]:
    """Return by task the newest major revision that is approved and so fresh that deltas may be open."""
    found = {}
    for code, task in frame.tasks.items():
        numbers = [
            revision.number
            for revision in task.revisions[1:]
            if revision.change is ChangeClass.MAJOR
            and revision.approved_on <= on <= revision.effective_on + timedelta(days=REVISED_DAYS)
        ]
        if numbers:
            found[code] = max(numbers)
    return found


def _candidate(row: StandingPeriod, revised: Mapping[str, int]) -> Candidate:
    standing = Standing(row.standing)
    is_behind = row.revision is not None and row.revision < revised.get(row.task.code, 0)
    if standing in READY:
        why = Waiting.READY
    elif standing in OUT:
        why = Waiting.RETURN
    elif standing is Standing.OUT_OF_REVISION or (is_behind and standing not in DUE):
        why = Waiting.DELTA
    else:
        why = Waiting.RENEWAL
    return Candidate(
        person=row.person,
        task=row.task,
        scope=Scope.parse(row.scope),
        standing=standing,
        why=why,
        last_valid_on=row.last_valid_on,
    )


def _without_unready(found: Sequence[Candidate], moment: datetime) -> Iterable[Candidate]:
    """Leave out who comes back and still owes runs: an assessor cannot help them yet."""
    back = [each for each in found if each.why is Waiting.RETURN]
    rules = rules_of(list({each.person.pk: each.person for each in back}.values()))
    for each in found:
        is_back = each.why is Waiting.RETURN
        if not is_back or rules[each.person.pk].progress(each.task.code, each.scope, moment).ready:
            yield each


def _urgency(each: Candidate) -> tuple[int, date, str, str]:
    order = list(Waiting).index(each.why)
    return order, each.last_valid_on or date.min, each.task.code, each.person.name


def prospects(found: Sequence[Candidate], *, assessor: Person, moment: datetime) -> list[Prospect]:
    """Return the candidates of one page with how far they are. A fixed number of queries."""
    rules = rules_of(list({each.person.pk: each.person for each in found}.values()))
    progress = [rules[each.person.pk].progress(each.task.code, each.scope, moment) for each in found]
    return [
        Prospect(candidate=each, progress=so_far, confirmed_by_me=so_far.confirmed_by.get(assessor.pk, 0))
        for each, so_far in zip(found, progress, strict=True)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsigned:
    """An assessment that waits for a second signature; `last_day` is the last on which it may be signed (R2.4)."""

    fact: Assessment
    trainee: Person
    assessor: Person | None
    task: Task
    roles_missing: frozenset[SecondRole]
    last_day: date
    days_left: int


def waiting_for_second(
    plant: Plant, *, signer: Person, grants: Collection[tuple[AuthorityKind, int | None]], on: date
) -> list[Unsigned]:
    """Return the assessments that `signer` may sign a second time, the most pressing first. Fixed queries.

    `grants` are what the signer is entrusted with on the day, with the area (None: the whole plant).
    """
    frame = frame_of(plant)
    longest = max(policy.second_signature_days for policy in frame.policies)
    open_facts = _competent(plant, since=on - timedelta(days=longest))
    second = second_signatures([fact.seq for fact in open_facts])
    tasks = {task.code: task for task in Task.objects.filter(plant=plant).select_related("area")}
    people = Person.objects.in_bulk({fact.person for fact in open_facts} | {fact.by for fact in open_facts if fact.by})
    held: dict[int | None, set[SecondRole]] = defaultdict(set)
    for kind, area in grants:
        if kind in ROLE_OF:
            held[area].add(ROLE_OF[kind])
    found = []
    for fact in open_facts:
        task = tasks[fact.task]
        missing = roles_missing(task, second.get(fact.seq, ()))
        last_day = fact.on + timedelta(days=frame.policy_on(fact.on).second_signature_days)
        has_role = missing & (held[None] | held[task.area_id])
        if has_role and signer.pk not in {fact.person, fact.by} and on <= last_day:
            found.append(
                Unsigned(
                    fact=fact,
                    trainee=people[fact.person],
                    assessor=people.get(fact.by or 0),
                    task=task,
                    roles_missing=missing,
                    last_day=last_day,
                    days_left=(last_day - on).days,
                )
            )
    return sorted(found, key=lambda each: (each.last_day, each.trainee.name))


def _competent(plant: Plant, *, since: date) -> list[Assessment]:
    """Return the competent assessments of the plant since a day that stand: neither corrected nor annulled."""
    about = LedgerIndex.objects.filter(plant=plant, kind=EntryKind.ASSESSMENT, happened_on__gte=since)
    against = [EntryKind.CORRECTION, EntryKind.ANNULMENT]
    wanted = Q(seq__in=about.values("entry")) | Q(index__kind__in=against, index__of__in=about.values("entry"))
    facts = live(facts_of(LedgerEntry.objects.filter(wanted).order_by("seq")))
    annulled = {fact.of for fact in facts if isinstance(fact, Annulment)}
    return [
        fact
        for fact in facts
        if isinstance(fact, Assessment) and fact.outcome is Outcome.COMPETENT and fact.seq not in annulled
    ]
