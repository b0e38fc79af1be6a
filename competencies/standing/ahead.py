"""Cover on the days to come: who could stand where from which day to which, and when that is too few. Pure.

A timeline runs past today, since lapses and coming revisions are known. What it cannot know is that people go on
working: whoever counts today is taken to keep in practice, so that no future day is lost to R3.5 alone.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeAlias

from competencies.standing.calendar import FOR_EVER, LONG_AGO, ONE_DAY, Clock
from competencies.standing.cover import is_night
from competencies.standing.facts import Scope
from competencies.standing.framework import Shift
from competencies.standing.staffing import needs_of, staff_needs
from competencies.standing.timeline import Period, Reason, Timeline
from competencies.vocabulary import Standing

Key: TypeAlias = tuple[int, str, Scope]
# Remarks that may stand beside a stop and stop nothing themselves.
REMARKS = frozenset(
    {
        *("renewal_due", "in_grace", "acknowledgement_due", "delta_due", "terms_applied", "reclassified"),
        "initial_trainer",
    }
)


@dataclass(frozen=True, slots=True)
class Days:
    """Days in a row, both ends in."""

    from_on: date
    until_on: date


@dataclass(frozen=True, slots=True)
class Missing:
    """Somebody who is taken to be missing on the shifts that start on these days, both in."""

    person: int
    from_on: date = date.min
    until_on: date = date.max

    def is_out(self, person: int, on: date) -> bool:
        """Whether a person is out on the shift that starts on a day."""
        return person == self.person and self.from_on <= on <= self.until_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Spell:
    """Days, both in, on whose shift a person could stand at a slot."""

    person: int
    slot: int
    days: Days


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days, both in, on which the same people could stand at the same slots; `short` as in `staffing`."""

    days: Days
    able: tuple[tuple[int, ...], ...]
    short: tuple[int, ...]


def stretches(
    spells: Iterable[Spell], *, slots: int, days: Days, combinable: Collection[tuple[int, int]] = ()
) -> list[Stretch]:
    """Return the cover of a line of so many slots over some days, staffed anew whenever anything changes."""
    spells = list(spells)
    changes = {spell.days.from_on for spell in spells} | {spell.days.until_on + ONE_DAY for spell in spells}
    starts = [days.from_on, *sorted(day for day in changes if days.from_on < day <= days.until_on)]
    ends = [*(start - ONE_DAY for start in starts[1:]), days.until_on]
    # The same people come back in stretch after stretch: each staffing is worked out once.
    known: dict[tuple[tuple[int, ...], ...], tuple[int, ...]] = {}
    found: list[Stretch] = []
    for start, end in zip(starts, ends, strict=True):
        able = _able_on(start, spells, slots)
        if able not in known:
            known[able] = staff_needs(needs_of(able, combinable=combinable)).short
        if found and found[-1].able == able:
            found[-1] = Stretch(days=Days(found[-1].days.from_on, end), able=able, short=known[able])
        else:
            found.append(Stretch(days=Days(start, end), able=able, short=known[able]))
    return found


def _able_on(day: date, spells: Iterable[Spell], slots: int) -> tuple[tuple[int, ...], ...]:
    able: list[set[int]] = [set() for _ in range(slots)]
    for spell in spells:
        if spell.days.from_on <= day <= spell.days.until_on:
            able[spell.slot].add(spell.person)
    return tuple(tuple(sorted(found)) for found in able)


def days_of_cover(
    key: Key, timelines: Mapping[Key, Timeline], shift: Shift, clock: Clock, now: datetime
) -> list[Days]:
    """Return the days from now on whose shift a person counts on, from its start to its end (R9.1).

    R3.5 alone takes no future day away: see the module. On a night shift no young worker counts (R10.3).
    """
    timeline = timelines[key]
    found: list[Days] = []
    for opens, closes in _counting(key, timelines, now):
        from_on, until_on = _first_day(shift, clock, opens), _last_day(shift, clock, closes)
        if is_night(shift) and timeline.restricted_until is not None:
            from_on = max(from_on, timeline.restricted_until)
        if from_on <= until_on:
            found.append(Days(from_on, until_on))
    return found


def _counting(key: Key, timelines: Mapping[Key, Timeline], now: datetime) -> Iterator[tuple[datetime, datetime]]:
    """Yield the stretches of time from now on in which a person counts, neighbours joined."""
    opens: datetime | None = None
    closes = LONG_AGO
    for period in timelines[key].between(now, FOR_EVER):
        if not holds_in_use(key, period, timelines, now):
            continue
        start = max(period.start or LONG_AGO, period.gained_at or LONG_AGO)
        if opens is not None and start != closes:
            yield opens, closes
            opens = None
        opens = start if opens is None else opens
        closes = period.end or FOR_EVER
    if opens is not None:
        yield opens, closes


def holds_in_use(key: Key, period: Period, timelines: Mapping[Key, Timeline], now: datetime) -> bool:
    """Whether a period counts, or would if the person goes on doing what they count for at `now`."""
    if period.counts:
        return True
    if period.standing not in {Standing.STALE, Standing.BLOCKED} or period.start is None or period.start <= now:
        return False
    stale_now = set(timelines[key].at(now).reasons)
    return all(_is_forgiven(why, key, period, timelines, now) and why not in stale_now for why in period.reasons)


def _is_forgiven(why: Reason, key: Key, period: Period, timelines: Mapping[Key, Timeline], now: datetime) -> bool:
    if why.code in REMARKS or (why.rule, why.code) == ("R3.5", "stale"):
        return True
    if why.code != "blocked" or period.start is None:
        return False
    named = dict(why.params)
    below = (key[0], named["task"], Scope.parse(named["scope"]))
    # A task is never its own prerequisite, so this comes to an end.
    return below in timelines and holds_in_use(below, timelines[below].at(period.start), timelines, now)


def _first_day(shift: Shift, clock: Clock, opens: datetime) -> date:
    """Return the first day whose shift starts at `opens` or later."""
    if opens == LONG_AGO:
        return date.min
    day = clock.day(opens)
    return day if clock.shift_bounds(shift, day)[0] >= opens else day + ONE_DAY


def _last_day(shift: Shift, clock: Clock, closes: datetime) -> date:
    """Return the last day whose shift has ended by `closes`."""
    if closes == FOR_EVER:
        return date.max - ONE_DAY
    day = clock.day(closes)
    while clock.shift_bounds(shift, day)[1] > closes:
        day -= ONE_DAY
    return day


def less(days: Iterable[Days], out: Sequence[Days]) -> list[Days]:
    """Return what is left of some days when others are taken out."""
    left = list(days)
    for gap in out:
        cut: list[Days] = []
        for each in left:
            if gap.until_on < each.from_on or gap.from_on > each.until_on:
                cut.append(each)
                continue
            if each.from_on < gap.from_on:
                cut.append(Days(each.from_on, gap.from_on - ONE_DAY))
            if gap.until_on < each.until_on:
                cut.append(Days(gap.until_on + ONE_DAY, each.until_on))
        left = cut
    return left
