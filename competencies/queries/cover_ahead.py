"""Is each line covered on the days to come, when does it break first and why, on whom does it hang (R9)."""

from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime, timedelta

from competencies.models import Line, Shift, Station
from competencies.queries.cover import covers_over
from competencies.queries.line_ahead import Break, Hanging, LineAhead, Loss, WeekAhead
from competencies.queries.line_cover import LineCover
from competencies.queries.teams import Ahead, Team
from competencies.standing.ahead import REMARKS, Days, Key, Missing, Spell, Stretch, days_of_cover, less, stretches
from competencies.standing.calendar import INSTANT, ONE_DAY, clock_of
from competencies.standing.depth import depths_of
from competencies.standing.facts import Scope
from competencies.standing.staffing import needs_of
from competencies.standing.timeline import Reason

WEEKS = 52
WEEK = timedelta(days=7)


def lines_ahead(ahead: Ahead, *, missing: Sequence[Missing] = ()) -> list[LineAhead]:
    """Return every line over the weeks to come, as if those `missing` were out. A fixed number of queries."""
    days = [ahead.today + timedelta(days=step) for step in range((ahead.rostered_until - ahead.today).days + 1)]
    covers = covers_over(lines=ahead.lines, shifts=ahead.shifts, days=days, missing=missing)
    found = []
    for number, line in enumerate(ahead.lines):
        rostered = [covers[day, shift.pk][number] for day in days for shift in ahead.shifts]
        found.append(_LineForecast(line, ahead, missing).told(rostered))
    return found


class _LineForecast:
    """Works out one line."""

    def __init__(self, line: Line, ahead: Ahead, missing: Sequence[Missing]) -> None:
        self.line, self.ahead, self.missing = line, ahead, missing
        self.clock = clock_of(ahead.frame.timezone)
        self.slots = ahead.slots[line.pk]
        self.stations = tuple({slot.station.pk: slot.station for slot in self.slots}.values())
        rules = ahead.rules[line.pk]
        self.pairs = [
            (one, other)
            for one, slot in enumerate(self.slots)
            for other in range(one + 1, len(self.slots))
            if rules.may_share(slot.station.pk, self.slots[other].station.pk)
        ]

    def told(self, rostered: Sequence[LineCover]) -> LineAhead:
        """Return all that is told of the line."""
        teams = self.ahead.teams[self.line.pk]
        plain = [self._stretches(team, with_planned=False) for team in teams]
        asked = {person for person, _task, _scope in self.ahead.planned}
        planned = [
            self._stretches(team, with_planned=True) if asked & set(team.people) else found
            for team, found in zip(teams, plain, strict=True)
        ]
        by_crew: dict[int | None, Break] = {}
        for team, stretches_of in zip(teams, plain, strict=True):
            found = self._break(team, stretches_of)
            crew = team.crew.pk if team.crew else None
            if found and (crew not in by_crew or found.on < by_crew[crew].on):
                by_crew[crew] = found
        breaks = [*self._rostered_break(rostered), *by_crew.values()]
        return LineAhead(
            line=self.line,
            stations=self.stations,
            weeks=tuple(self._week(number, rostered, plain, planned) for number in range(WEEKS)),
            breaks=tuple(sorted(breaks, key=lambda each: each.on)),
            hangs=tuple(self._hangs(teams, plain)),
        )

    def _stretches(self, team: Team, *, with_planned: bool) -> list[Stretch]:
        last = monday_of(self.ahead.today) + WEEKS * WEEK - ONE_DAY
        spells = [
            Spell(person=person, slot=number, days=days)
            for number in range(len(self.slots))
            for person in team.people
            for days in self._days(person, number, team.shift, with_planned=with_planned)
        ]
        return stretches(spells, slots=len(self.slots), days=Days(self.ahead.today, last), combinable=self.pairs)

    def _days(self, person: int, number: int, shift: Shift, *, with_planned: bool) -> list[Days]:
        """Return the days on whose shift a person could stand at a slot."""
        ahead, slot = self.ahead, self.slots[number]
        key = (person, slot.station.task.code, slot.scope)
        days: list[Days] = []
        if key in ahead.timelines:
            days = days_of_cover(key, ahead.timelines, ahead.frame.shifts[shift.name], self.clock, ahead.now)
        if with_planned:
            days += ahead.planned.get(key, ())
        out = [Days(each.from_on, each.until_on) for each in self.missing if each.person == person]
        return less(days, [*ahead.away.get(person, ()), *out])

    def _week(
        self,
        number: int,
        rostered: Sequence[LineCover],
        plain: Sequence[Sequence[Stretch]],
        planned: Sequence[Sequence[Stretch]],
    ) -> WeekAhead:
        monday = monday_of(self.ahead.today) + number * WEEK
        days = Days(max(monday, self.ahead.today), monday + WEEK - ONE_DAY)
        covers = [cover for cover in rostered if days.from_on <= cover.on <= days.until_on]
        if covers:
            covered = sum(cover.is_covered for cover in covers)
            able = [[len(_counted(cover, station)) for station in self.stations] for cover in covers]
        else:
            covered = sum(not any(each.short for each in within(found, days)) for found in plain)
            able = [self._have(each) for found in plain for each in within(found, days)]
        with_planned = sum(not any(each.short for each in within(found, days)) for found in planned)
        return WeekAhead(
            days=days,
            is_rostered=bool(covers),
            covered=covered,
            of=len(covers or plain),
            planned=covered if covers else with_planned,
            have=tuple(map(min, zip(*able, strict=True))) if able else tuple(0 for _ in self.stations),
        )

    def _have(self, stretch: Stretch) -> list[int]:
        by_station = {slot.station.pk: len(stretch.able[number]) for number, slot in enumerate(self.slots)}
        return [by_station[station.pk] for station in self.stations]

    def _rostered_break(self, rostered: Sequence[LineCover]) -> Iterable[Break]:
        for cover in rostered:
            if not cover.is_covered:
                short = {slot.station.pk: slot.station for slot in cover.short}
                losses = tuple(
                    Loss(
                        person=barred.person,
                        station=slot.station,
                        reasons=tuple((slot.station.task.code, reason) for reason in barred.reasons),
                    )
                    for slot in cover.short
                    for barred in slot.barred
                    if not any(reason.code == "not_signed_off" for reason in barred.reasons)
                )
                yield Break(
                    on=cover.on,
                    shift=cover.shift,
                    crew=None,
                    is_rostered=True,
                    short=tuple(short.values()),
                    losses=losses,
                )
                return

    def _break(self, team: Team, found: Sequence[Stretch]) -> Break | None:
        """Return the first shift after the roster on which a crew does not cover the line."""
        after = Days(self.ahead.rostered_until + ONE_DAY, date.max)
        earlier: Stretch | None = None
        for stretch in found:
            if stretch.short and stretch.days.until_on >= after.from_on:
                on = max(stretch.days.from_on, after.from_on)
                lost = earlier if on == stretch.days.from_on else None
                short = {self.slots[number].station.pk: self.slots[number].station for number in stretch.short}
                return Break(
                    on=on,
                    shift=team.shift,
                    crew=team.crew,
                    is_rostered=False,
                    short=tuple(short.values()),
                    losses=tuple(self._losses(team, stretch, lost)) if lost else (),
                )
            earlier = stretch
        return None

    def _losses(self, team: Team, stretch: Stretch, earlier: Stretch) -> Iterable[Loss]:
        ahead, on = self.ahead, stretch.days.from_on
        end = self.clock.shift_bounds(ahead.frame.shifts[team.shift.name], on)[1]
        for number in stretch.short:
            slot = self.slots[number]
            for number_lost in set(earlier.able[number]) - set(stretch.able[number]):
                person = ahead.people[number_lost]
                is_away = any(days.from_on <= on <= days.until_on for days in ahead.away.get(person.pk, ()))
                is_away = is_away or any(each.is_out(person.pk, on) for each in self.missing)
                key = (person.pk, slot.station.task.code, slot.scope)
                yield Loss(
                    person=person,
                    station=slot.station,
                    reasons=() if is_away else self._why(key, end - INSTANT),
                    last_day=person.last_day if person.last_day and person.last_day < on else None,
                )

    def _why(self, key: Key, moment: datetime) -> tuple[tuple[str, Reason], ...]:
        """Return why somebody does not count, each with its task: of a prerequisite that is out, its own reasons."""
        timelines = self.ahead.timelines
        found: dict[tuple[str, Reason], None] = {}
        for why in timelines[key].at(moment).reasons if key in timelines else ():
            named = dict(why.params)
            below = (key[0], named.get("task", ""), Scope.parse(named.get("scope", "")))
            if why.code == "blocked" and below in timelines:
                found |= dict.fromkeys(self._why(below, moment))
            elif why.code not in REMARKS:
                found[key[1], why] = None
        return tuple(found)

    def _hangs(self, teams: Sequence[Team], plain: Sequence[Sequence[Stretch]]) -> Iterable[Hanging]:
        """Yield on whom the line hangs today, crew by crew (R9.6); of a crew's shifts the first is asked."""
        by_station = [
            [number for number, slot in enumerate(self.slots) if slot.station.pk == station.pk]
            for station in self.stations
        ]
        asked: set[int | None] = set()
        for team, found in zip(teams, plain, strict=True):
            crew_id = team.crew.pk if team.crew else None
            if crew_id in asked or not found:
                continue
            asked.add(crew_id)
            depths = depths_of(needs_of(found[0].able, combinable=self.pairs), by_station)
            for person in sorted({person for depth in depths for person in depth.hangs_on}):
                pairs = zip(self.stations, depths, strict=True)
                stations = tuple(station for station, depth in pairs if person in depth.hangs_on)
                yield Hanging(person=self.ahead.people[person], crew=team.crew, stations=stations)


def within(found: Iterable[Stretch], days: Days) -> list[Stretch]:
    """Return the stretches that touch some days."""
    return [each for each in found if each.days.from_on <= days.until_on and each.days.until_on >= days.from_on]


def monday_of(day: date) -> date:
    """Return the Monday of a day's week."""
    return day - timedelta(days=day.weekday())


def _counted(cover: LineCover, station: Station) -> Collection[int]:
    """Return who could stand at a station on a shift, with whoever is settled there beside a trainee."""
    slots = [slot for slot in cover.slots if slot.station.pk == station.pk]
    return {person.pk for slot in slots for person in (*slot.able, slot.person) if person is not None}
