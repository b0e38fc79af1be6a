"""Cover on the days to come, worked by hand, and held against asking each day by itself."""

from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from competencies.standing.ahead import Days, Missing, Spell, days_of_cover, less, stretches
from competencies.standing.calendar import Clock
from competencies.standing.facts import Scope
from competencies.standing.framework import Shift
from competencies.standing.timeline import Period, Timeline, reason
from competencies.vocabulary import Standing

CLOCK = Clock("Europe/Dublin")
DAY, NIGHT = Shift(name="day", starts=6 * 60, ends=14 * 60), Shift(name="night", starts=22 * 60, ends=6 * 60)
FIRST, LAST = date(2026, 3, 1), date(2026, 3, 20)
NOW = datetime(2026, 3, 1, 9, tzinfo=UTC)
ANA, CHEN = 1, 2
STALE = reason("R3.5", "stale", last=date(2025, 12, 5))


def midnight(day: int) -> datetime:
    return CLOCK.midnight(date(2026, 3, day))


def march(first: int, last: int) -> Days:
    return Days(date(2026, 3, first), date(2026, 3, last))


def timeline(*periods, task="PK-04", restricted_until=None, person=ANA) -> dict:
    """Return the timeline of (first day, standing, counts, reasons), the last of them without end."""
    ends = [*(start for start, *_ in periods[1:]), None]
    made = [
        Period(
            start=midnight(start) if start else None,
            end=midnight(end) if end else None,
            standing=standing,
            counts=counts,
            reasons=tuple(reasons),
        )
        for (start, standing, counts, *reasons), end in zip(periods, ends, strict=True)
    ]
    key = (person, task, Scope())
    found = Timeline(person=person, task=task, scope=Scope(), periods=made, restricted_until=restricted_until)
    return {key: found}


def covered(timelines, shift=DAY, task="PK-04"):
    found = days_of_cover((ANA, task, Scope()), timelines, shift, CLOCK, NOW)
    return [(max(each.from_on, FIRST), min(each.until_on, LAST)) for each in found]


def test_a_sign_off_covers_the_day_shift_of_its_last_valid_day_and_no_night_that_starts_on_it():
    lapses = timeline((None, Standing.IN_FORCE, True), (11, Standing.LAPSED, False))

    assert covered(lapses, DAY) == [(FIRST, date(2026, 3, 10))]
    assert covered(lapses, NIGHT) == [(FIRST, date(2026, 3, 9))]


def test_a_renewal_due_goes_on_and_a_coming_revision_takes_days_away_and_gives_none_back():
    revised = timeline(
        (None, Standing.IN_FORCE, True), (5, Standing.RENEWAL_DUE, True), (9, Standing.OUT_OF_REVISION, False)
    )

    assert covered(revised) == [(FIRST, date(2026, 3, 8))]


def test_a_bar_for_age_lifts_on_its_day_and_nights_stay_closed_until_then():
    grows = timeline(
        (None, Standing.RESTRICTED, False), (12, Standing.IN_FORCE, True), restricted_until=date(2026, 3, 12)
    )
    open_task = timeline((None, Standing.IN_FORCE, True), restricted_until=date(2026, 3, 12))

    assert covered(grows, DAY) == [(date(2026, 3, 12), LAST)]
    assert covered(open_task, NIGHT) == [(date(2026, 3, 12), LAST)]
    assert covered(open_task, DAY) == [(FIRST, LAST)]


def test_whoever_counts_now_keeps_in_practice_and_whoever_is_stale_now_does_not_come_back_by_it():
    comes = timeline((None, Standing.IN_FORCE, True), (8, Standing.STALE, False, STALE))
    is_now = timeline((None, Standing.STALE, False, STALE), (9, Standing.STALE, False, STALE))

    assert covered(comes) == [(FIRST, LAST)]
    assert covered(is_now) == []


def test_a_prerequisite_that_only_goes_stale_blocks_nothing_ahead_and_one_that_lapses_does():
    blocked = reason("R6.3", "blocked", task="HS-03", scope="")
    above = timeline((None, Standing.IN_FORCE, True), (8, Standing.BLOCKED, False, blocked), task="PK-10")
    goes_stale = timeline((None, Standing.IN_FORCE, True), (8, Standing.STALE, False, STALE), task="HS-03")
    lapsed = reason("R3.3", "lapsed", last_valid=date(2026, 3, 7))
    lapses = timeline((None, Standing.IN_FORCE, True), (8, Standing.LAPSED, False, lapsed), task="HS-03")

    assert covered(above | goes_stale, task="PK-10") == [(FIRST, LAST)]
    assert covered(above | lapses, task="PK-10") == [(FIRST, date(2026, 3, 7))]


@pytest.mark.parametrize(
    ("out", "left"),
    [
        ([], [march(3, 9)]),
        ([march(1, 2)], [march(3, 9)]),
        ([march(5, 6)], [march(3, 4), march(7, 9)]),
        ([march(1, 4), march(9, 12)], [march(5, 8)]),
        ([march(3, 9)], []),
    ],
    ids=["nobody away", "away before", "away within", "away at both ends", "away throughout"],
)
def test_days_away_are_taken_out(out, left):
    assert less([march(3, 9)], out) == left


def test_two_stations_that_come_to_hang_on_one_person_are_short_from_that_day():
    spells = [
        Spell(person=ANA, slot=0, days=march(1, 9)),
        Spell(person=CHEN, slot=0, days=march(1, 20)),
        Spell(person=CHEN, slot=1, days=march(1, 20)),
    ]

    first, second = stretches(spells, slots=2, days=march(1, 20))

    assert (first.days, first.short) == (march(1, 9), ())
    assert (second.days, second.short) == (march(10, 20), (0, 1))
    [paired] = stretches(spells[1:], slots=2, days=march(1, 20), combinable=[(0, 1)])
    assert paired.short == ()


def test_a_missing_person_is_out_on_both_ends():
    away = Missing(ANA, date(2026, 3, 4), date(2026, 3, 6))

    assert [day for day in range(1, 10) if away.is_out(ANA, date(2026, 3, day))] == [4, 5, 6]
    assert not away.is_out(CHEN, date(2026, 3, 5))


spans = st.tuples(st.integers(1, 20), st.integers(1, 20)).map(lambda pair: march(min(pair), max(pair)))
small_lines = st.lists(st.builds(Spell, person=st.integers(1, 4), slot=st.integers(0, 2), days=spans), max_size=9)


@settings(max_examples=200, deadline=None)
@given(small_lines)
def test_every_day_reads_as_if_everybody_had_been_tried_at_every_station_on_it(spells):
    found = stretches(spells, slots=3, days=march(1, 20))

    by_day = {
        each.days.from_on + timedelta(days=step): each
        for each in found
        for step in range((each.days.until_on - each.days.from_on).days + 1)
    }
    assert len(by_day) == 20
    for day, stretch in by_day.items():
        able = [
            {s.person for s in spells if s.slot == n and s.days.from_on <= day <= s.days.until_on} for n in range(3)
        ]
        fills = any(all(p in able[n] for n, p in enumerate(placed)) for placed in permutations(range(1, 5), 3))
        assert [set(each) for each in stretch.able] == able
        assert (not stretch.short) == fills
