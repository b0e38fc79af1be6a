"""What is to be told to whom on a day: to everybody what comes up for them, to the office and trainers the week."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.db.models import Q

from competencies.models import Assignment, Authority, Person, Plant, Reminder, StandingPeriod, TaskRevision
from competencies.queries.frame import frame_of
from competencies.queries.lapses import Narrowed, running_out
from competencies.standing.calendar import ONE_DAY
from competencies.vocabulary import AuthorityKind, ReminderKind, Standing

DIGEST_FOR = (AuthorityKind.TRAIN, AuthorityKind.ASSESS, AuthorityKind.COORDINATE)
DIGEST_DAYS = 30
WEEK = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing to tell: `about` is the same for the same thing, `says` its task and place, `day` when it is."""

    kind: ReminderKind
    about: str
    day: date
    says: str = ""


@dataclass(frozen=True, slots=True)
class Coming:
    """A floor task that a person is asked for tomorrow."""

    told: Told
    assignment: Assignment


@dataclass(frozen=True, slots=True)
class Ending:
    """A sign-off of a person that runs out, in so many days."""

    told: Told
    row: StandingPeriod
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLetter:
    """What one person is told about themselves."""

    person: Person
    coming: Sequence[Coming]
    ending: Sequence[Ending]

    @property
    def told(self) -> list[Told]:
        """Return everything it tells."""
        return [*(each.told for each in self.coming), *(each.told for each in self.ending)]

    def only(self, wanted: Iterable[Told]) -> "OwnLetter":
        """Return the letter with nothing but what is wanted in it."""
        kept = set(wanted)
        return replace(
            self,
            coming=[each for each in self.coming if each.told in kept],
            ending=[each for each in self.ending if each.told in kept],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekLetter:
    """The week for somebody who teaches, assesses or coordinates, in the areas entrusted to them."""

    person: Person
    monday: date
    ending: Sequence[StandingPeriod]
    ready: Sequence[StandingPeriod]
    unsigned: Sequence[StandingPeriod]
    revisions: Sequence[TaskRevision]
    starters: Sequence[Person]

    @property
    def told(self) -> list[Told]:
        """Return the week: it is told once."""
        return [Told(kind=ReminderKind.WEEK, about=self.monday.isoformat(), day=self.monday)]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to tell."""
        return not (self.ending or self.ready or self.unsigned or self.revisions or self.starters)


def own_letters(plant: Plant, *, on: date, moment: datetime) -> list[OwnLetter]:
    """Return what is to be told to people about themselves and was not yet, by name. A fixed number of queries.

    Nobody is in it who has left by the day `on`, has no address, or wants no e-mail.
    """
    people = _reached(plant, on)
    known = _known(plant, on)
    coming: dict[int, list[Coming]] = defaultdict(list)
    for assignment in _asked(plant, on + ONE_DAY, people):
        told = _of_assignment(assignment)
        if (assignment.person_id, told.kind, told.about) not in known:
            coming[assignment.person_id].append(Coming(told, assignment))
    ending: dict[int, list[Ending]] = defaultdict(list)
    for each in _ending(plant, on, moment):
        if (each.row.person_id, each.told.kind, each.told.about) not in known:
            ending[each.row.person_id].append(each)
    return [
        OwnLetter(person=person, coming=coming[number], ending=ending[number])
        for number, person in people.items()
        if coming[number] or ending[number]
    ]


def week_letters(plant: Plant, *, on: date, moment: datetime) -> list[WeekLetter]:
    """Return the digests of the week of the day `on` that were not sent yet. A fixed number of queries.

    Whoever has nothing to be told of gets none.
    """
    people = _reached(plant, on)
    monday = on - timedelta(days=on.weekday())
    done = set(
        Reminder.objects.filter(plant=plant, kind=ReminderKind.WEEK, about=monday.isoformat()).values_list(
            "person", flat=True
        )
    )
    areas: dict[int, set[int | None]] = defaultdict(set)
    for person, area in (
        Authority.objects.in_force(on).filter(kind__in=DIGEST_FOR, person__in=people).values_list("person", "area")
    ):
        areas[person].add(area)
    whole = _week(plant, monday, on, moment)
    letters = [_narrowed(whole, people[number], found) for number, found in areas.items() if number not in done]
    return sorted((each for each in letters if not each.is_empty), key=lambda each: each.person.name)


def _reached(plant: Plant, on: date) -> Mapping[int, Person]:
    """Return by number who can be told something, in the order of their names."""
    people = Person.objects.filter(plant=plant, is_reminded=True).employed(on).exclude(email="")
    return {each.pk: each for each in people.select_related("plant").order_by("name", "pk")}


def _known(plant: Plant, on: date) -> set[tuple[int, str, str]]:
    rows = Reminder.objects.filter(plant=plant, day__gte=on).exclude(kind=ReminderKind.WEEK)
    return set(rows.values_list("person", "kind", "about"))


def _asked(plant: Plant, day: date, people: Mapping[int, Person]) -> Iterable[Assignment]:
    rows = Assignment.objects.filter(plant=plant, on=day, person__in=people, state=Assignment.State.PLANNED)
    return rows.select_related("task", "shift", "line", "trainer").order_by("shift__starts", "task__code")


def _of_assignment(assignment: Assignment) -> Told:
    return Told(
        kind=ReminderKind.ASSIGNMENT,
        about=str(assignment.pk),
        day=assignment.on,
        says=assignment.task.code,
    )


def _ending(plant: Plant, on: date, moment: datetime) -> Iterator[Ending]:
    """Yield what runs out with the nearest of the days at which it is told: who was told of 30 is not told of 60."""
    policy = frame_of(plant).policy_on(on)
    at_days = sorted({policy.remind_first_days, policy.remind_second_days, policy.remind_last_days})
    until = on + timedelta(days=at_days[-1])
    rows = running_out(plant, Narrowed(), moment=moment, on=on, from_on=on, until_on=until)
    for row in rows.select_related("task"):
        last = row.last_valid_on or on
        days = (last - on).days
        step = next(each for each in at_days if days <= each)
        told = Told(
            kind=ReminderKind.LAPSE,
            about=f"{row.task.code} {row.scope} {last.isoformat()} {step}",
            day=last,
            says=f"{row.task.code} {row.scope}".strip(),
        )
        yield Ending(told, row, days)


def _week(plant: Plant, monday: date, on: date, moment: datetime) -> WeekLetter:
    """Return what the week holds for the whole plant."""
    until = on + timedelta(days=DIGEST_DAYS)
    ending = running_out(plant, Narrowed(), moment=moment, on=on, from_on=on, until_on=until)
    waiting = list(
        StandingPeriod.objects.filter(
            Q(starts_at=None) | Q(starts_at__lte=moment),
            Q(ends_at=None) | Q(ends_at__gt=moment),
            known_to=None,
            task__plant=plant,
            standing__in=(Standing.READY, Standing.AWAITING_SIGNATURE),
            person__in=Person.objects.filter(plant=plant).employed(on),
        )
        .select_related("person", "task")
        .order_by("task__code", "person__name")
    )
    revisions = TaskRevision.objects.filter(task__plant=plant, effective_on__gt=on, effective_on__lte=until)
    starters = Person.objects.filter(plant=plant, started_on__range=(monday, monday + WEEK - ONE_DAY))
    return WeekLetter(
        person=Person(),
        monday=monday,
        ending=list(ending.select_related("person", "task")),
        ready=[row for row in waiting if row.standing == Standing.READY],
        unsigned=[row for row in waiting if row.standing == Standing.AWAITING_SIGNATURE],
        revisions=list(revisions.select_related("task").order_by("effective_on", "task__code")),
        starters=list(
            starters.single().exclude(last_day__lt=on).select_related("area").order_by("started_on", "name")
        ),
    )


def _narrowed(whole: WeekLetter, person: Person, areas: set[int | None]) -> WeekLetter:
    """Return the week as far as it is entrusted to a person; nobody is told about themselves."""

    def rows(found: Sequence[StandingPeriod]) -> list[StandingPeriod]:
        return [row for row in found if (None in areas or row.task.area_id in areas) and row.person_id != person.pk]

    return replace(
        whole,
        person=person,
        ending=rows(whole.ending),
        ready=rows(whole.ready),
        unsigned=rows(whole.unsigned),
        revisions=[each for each in whole.revisions if None in areas or each.task.area_id in areas],
        starters=[
            each for each in whole.starters if (None in areas or each.area_id in areas) and each.pk != person.pk
        ],
    )
