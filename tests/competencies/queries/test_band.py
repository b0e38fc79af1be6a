"""What is drawn of a timeline: the days, the pieces and their shares of the band, the dates under it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from competencies.queries.band import EVERYTHING, Window, band_of, days_of_change, tick_days, window_around
from competencies.standing.calendar import Clock
from competencies.standing.facts import SITE
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import Standing

CLOCK = Clock("Europe/Dublin")
# In winter the plant's midnight is that of UTC.
SIGNED, STOPPED = datetime(2026, 1, 11, tzinfo=UTC), datetime(2026, 1, 16, 12, tzinfo=UTC)


def timeline():
    return Timeline(
        person=1,
        task="PK-01",
        scope=SITE,
        periods=(
            Period(start=None, end=SIGNED, standing=Standing.LEARNING, counts=False),
            Period(start=SIGNED, end=STOPPED, standing=Standing.IN_FORCE, counts=True),
            Period(start=STOPPED, end=None, standing=Standing.SUSPENDED, counts=False),
        ),
    )


def drawn(first, last, **given):
    moment = given.pop("moment", datetime(2026, 1, 12, 9, tzinfo=UTC))
    window = Window(from_on=first, until_on=last)
    return band_of(timeline(), window, CLOCK, moment=moment, now=moment + timedelta(days=400), **given)


def test_pieces_fill_the_band_in_proportion_to_their_time():
    band = drawn(date(2026, 1, 1), date(2026, 1, 20))

    assert [(piece.number, piece.start, piece.width) for piece in band.pieces] == [
        (1, 0.0, 50.0),
        (2, 50.0, 27.5),
        (3, 77.5, 22.5),
    ]
    assert [piece.is_asked for piece in band.pieces] == [False, True, False]


def test_a_piece_leads_to_a_minute_that_lies_in_it_and_in_the_window():
    band = drawn(date(2026, 1, 5), date(2026, 1, 20))

    assert [piece.shown_at for piece in band.pieces] == [datetime(2026, 1, 5, tzinfo=UTC), SIGNED, STOPPED]
    assert all(piece.period.holds_at(piece.shown_at) for piece in band.pieces)


def test_what_lies_outside_the_window_is_not_marked():
    entries = [(4, SIGNED, False), (5, STOPPED, True), (6, datetime(2026, 3, 1, tzinfo=UTC), False)]
    band = drawn(date(2026, 1, 1), date(2026, 1, 20), entries=entries)

    assert [(mark.seq, mark.start, mark.is_struck) for mark in band.marks] == [(4, 50.0, False), (5, 77.5, True)]
    assert band.today is None
    assert band.asked == pytest.approx(100 * (11 + 9 / 24) / 20, abs=0.001)


@pytest.mark.parametrize(("span", "days"), [("week", 7), ("month", 31), ("quarter", 93), ("year", 367), ("", 367)])
def test_a_named_span_lies_around_the_day(span, days):
    window = window_around(date(2026, 7, 1), span, first_on=date(2020, 1, 1), last_on=date(2028, 1, 1))

    assert window.days == days
    assert window.from_on + timedelta(days=days // 2) == date(2026, 7, 1)


def test_everything_reaches_from_before_the_first_entry_to_after_the_last_thing_to_come():
    window = window_around(date(2026, 7, 1), EVERYTHING, first_on=date(2025, 1, 31), last_on=date(2027, 3, 1))

    assert (window.from_on, window.until_on) == (date(2025, 1, 1), date(2027, 3, 31))


def test_a_window_moves_by_its_own_length():
    window = Window(from_on=date(2026, 3, 1), until_on=date(2026, 3, 10))

    assert window.moved(1) == Window(from_on=date(2026, 3, 11), until_on=date(2026, 3, 20))
    assert window.moved(-1).until_on == date(2026, 2, 28)


@pytest.mark.parametrize("days", [1, 7, 9, 10, 31, 93, 367, 1200, 4000, 20000])
def test_there_are_a_handful_of_dates_whatever_is_drawn(days):
    window = Window(from_on=date(1990, 5, 17), until_on=date(1990, 5, 16) + timedelta(days=days))

    ticks = [day for day, _form in tick_days(window)]
    assert 1 <= len(ticks) <= 13
    assert all(window.from_on <= day <= window.until_on for day in ticks)


def test_the_first_day_of_work_is_no_change_to_draw():
    hired = datetime(2011, 9, 1, tzinfo=UTC)
    early = Period(start=hired, end=SIGNED, standing=Standing.NOT_STARTED, counts=False)

    assert days_of_change([early, *timeline().periods], CLOCK) == [date(2026, 1, 11), date(2026, 1, 16)]
