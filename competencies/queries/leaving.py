"""What goes with somebody who leaves or moves, and what does not: told before it is entered."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from django.db.models import Q

from competencies.models import Area, Assignment, Authority, Person, RosterDay, StandingPeriod, Station
from competencies.queries.clashes import scope_for
from competencies.queries.standing import Held, standings_at, timelines_of
from competencies.standing.calendar import clock_of
from competencies.standing.facts import Scope
from competencies.standing.timeline import Timeline

NOON: Final = 12 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class StationLeft:
    """A station for which the person counts, and how many others do on the first day without them."""

    station: Station
    others: int

    @property
    def is_short(self) -> bool:
        """Whether the others are fewer than the station needs at a time."""
        return self.others < self.station.needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """What goes when a person's last working day is set; `held` are the sign-offs that end with the work here."""

    first_day_without: date
    stations: Sequence[StationLeft]
    asked: Sequence[Assignment]
    training: Sequence[Assignment]
    authorities: Sequence[Authority]
    rostered: int
    held: Sequence[Held]

    @property
    def short(self) -> Sequence[StationLeft]:
        """Return the stations that the others do not fill."""
        return [each for each in self.stations if each.is_short]


def leaving(person: Person, *, last_day: date) -> Leaving:
    """Return what goes after the last working day. Nine queries."""
    after = last_day + timedelta(days=1)
    noon = clock_of(person.plant.timezone).moment(after, NOON)
    planned = Assignment.objects.filter(state=Assignment.State.PLANNED, on__gt=last_day).select_related(
        "person", "task", "shift", "trainer"
    )
    return Leaving(
        first_day_without=after,
        stations=_stations(person, noon),
        asked=list(planned.filter(person=person).order_by("on", "task__code")),
        training=list(planned.filter(trainer=person).exclude(person=person).order_by("on", "task__code")),
        authorities=authorities_beyond(person, last_day),
        rostered=RosterDay.objects.filter(person=person, on__gt=last_day).count(),
        held=[each for each in standings_at(people=[person.pk], moment=noon) if each.period.counts],
    )


def authorities_beyond(person: Person, last_day: date, *, area: Area | None = None) -> list[Authority]:
    """Return what the person is entrusted with after a day; in one area only, where one is named."""
    rows = Authority.objects.filter(Q(until_on=None) | Q(until_on__gt=last_day), person=person)
    if area is not None:
        rows = rows.filter(area=area)
    return list(rows.select_related("area", "person__plant").order_by("kind", "from_on"))


def _stations(person: Person, moment: datetime) -> list[StationLeft]:
    mine = StandingPeriod.objects.filter(person=person, known_to=None, counts=True)
    codes = set(mine.values_list("task__code", flat=True))
    stations = (
        Station.objects.filter(line__plant=person.plant_id, task__code__in=codes)
        .select_related("line", "task", "machine")
        .order_by("line__code", "task__code")
    )
    holders = StandingPeriod.objects.filter(
        task__plant=person.plant_id, task__code__in=codes, known_to=None, counts=True
    )
    timelines = timelines_of(people=set(holders.values_list("person_id", flat=True)), tasks=codes)
    found = []
    for station in stations:
        counting = _counting(timelines, station, moment)
        if person.pk in counting:
            found.append(StationLeft(station=station, others=len(counting) - 1))
    return sorted(found, key=lambda each: not each.is_short)


def _counting(timelines: Mapping[tuple[int, str, Scope], Timeline], station: Station, moment: datetime) -> set[int]:
    scope = scope_for(station.task, station.line, station.machine)
    return {
        person
        for (person, code, place), timeline in timelines.items()
        if code == station.task.code and place == scope and timeline.at(moment).counts
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Moving:
    """What a move to another area or crew leaves as it is, and what it does not take along.

    `site_wide` sign-offs hold anywhere; `bound` ones only at their line or machine, and another line asks for a
    conversion there. `authorities` are those of the area that is left.
    """

    site_wide: Sequence[Held]
    bound: Sequence[Held]
    authorities: Sequence[Authority]
    asked: Sequence[Assignment]


def moving(person: Person, *, on: date, now: datetime) -> Moving:
    """Return what a move on a day means for the person. Three queries."""
    held = [each for each in standings_at(people=[person.pk], moment=now) if each.period.counts]
    return Moving(
        site_wide=[each for each in held if each.scope == Scope()],
        bound=[each for each in held if each.scope != Scope()],
        authorities=authorities_beyond(person, on, area=person.area) if person.area else [],
        asked=asked_in_area(person, on),
    )


def asked_in_area(person: Person, on: date) -> list[Assignment]:
    """Return what the person is still asked for, after the day, in the area that they are in."""
    rows = Assignment.objects.filter(
        person=person, state=Assignment.State.PLANNED, on__gt=on, task__area=person.area_id
    )
    return list(rows.select_related("task", "shift", "trainer").order_by("on", "task__code"))
