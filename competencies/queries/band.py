"""A stretch of a timeline as it is drawn: the periods in it, the dates under it, and what was written where."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Final

from competencies.standing.calendar import INSTANT, ONE_DAY, Clock, add_months
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import Standing

PERCENT: Final = 100
# Days on either side of the day asked about.
SPANS: Final = {"week": 3, "month": 15, "quarter": 46, "year": 183}
EVERYTHING: Final = "all"
USUAL: Final = "year"
# What is drawn before the first entry and after the last thing known to come, where everything is shown.
MARGIN_DAYS: Final = 30
MOST_DAYS: Final = 366 * 60
# A word fits from this share of the band on (in percent), a number from that one.
WORD_SHARE, NUMBER_SHARE, LONG_SHARE = 16.0, 3.0, 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The days that are drawn, both included; `span` is the name of a usual one, "" for days given by hand."""

    from_on: date
    until_on: date
    span: str = ""

    @property
    def days(self) -> int:
        """Return how many days."""
        return (self.until_on - self.from_on).days + 1

    def moved(self, by: int) -> "Window":
        """Return the window as long, so many of its own lengths later (negative: earlier)."""
        step = timedelta(days=by * self.days)
        return Window(from_on=self.from_on + step, until_on=self.until_on + step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A period within the window. Shares are percent of the band; `first_on` and `at` are a minute that lies in it.

    `starts_at` and `last_at` are its first and last instant over all time (None: no limit), in UTC.
    """

    number: int
    period: Period
    start: float
    width: float
    starts_at: datetime | None
    last_at: datetime | None
    shown_at: datetime
    is_asked: bool

    @property
    def has_word(self) -> bool:
        """Whether its word fits into the drawing."""
        return self.width >= WORD_SHARE

    @property
    def is_long(self) -> bool:
        """Whether its word fits into the drawing on a phone too."""
        return self.width >= LONG_SHARE

    @property
    def has_number(self) -> bool:
        """Whether its number fits."""
        return self.width >= NUMBER_SHARE


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A date under the band; `form` is the date format that says enough of it."""

    on: date
    start: float
    form: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An entry at its place in time."""

    seq: int
    start: float
    is_struck: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The drawing: pieces in order, ticks, marks, and where the asked minute and now stand (None: outside)."""

    window: Window
    pieces: Sequence[Piece]
    ticks: Sequence[Tick]
    marks: Sequence[Mark]
    asked: float | None
    today: float | None


def window_around(on: date, span: str, *, first_on: date, last_on: date) -> Window:
    """Return the window of a named span around a day; a year where no such span is named."""
    if span != EVERYTHING:
        named = span if span in SPANS else USUAL
        days = timedelta(days=SPANS[named])
        return Window(from_on=on - days, until_on=on + days, span=named)
    margin = timedelta(days=MARGIN_DAYS)
    return Window(from_on=min(first_on, on) - margin, until_on=max(last_on, on) + margin, span=EVERYTHING)


def days_of_change(periods: Iterable[Period], clock: Clock) -> list[date]:
    """Return the days on which something is known to change, the first day of work apart: it may be long ago."""
    return [
        clock.day(period.start)
        for period in periods
        if period.start is not None and period.standing is not Standing.NOT_STARTED
    ]


def band_of(
    timeline: Timeline,
    window: Window,
    clock: Clock,
    *,
    moment: datetime,
    now: datetime,
    entries: Iterable[tuple[int, datetime, bool]] = (),
) -> Band:
    """Return the drawing of a timeline; `entries` are (place, moment, whether it stands corrected)."""
    opens, closes = clock.midnight(window.from_on), clock.midnight(window.until_on + ONE_DAY)

    def share(at: datetime) -> float:
        return round((at - opens) / (closes - opens) * PERCENT, 3)

    def within(at: datetime) -> float | None:
        return share(at) if opens <= at < closes else None

    marks = [Mark(seq=seq, start=share(at), is_struck=struck) for seq, at, struck in entries if opens <= at < closes]
    ticks = [Tick(on=day, start=share(clock.midnight(day)), form=form) for day, form in tick_days(window)]
    pieces = []
    for number, period in enumerate(timeline.between(opens, closes), start=1):
        start, end = max(period.start or opens, opens), min(period.end or closes, closes)
        pieces.append(
            Piece(
                number=number,
                period=period,
                start=share(start),
                width=round(share(end) - share(start), 3),
                starts_at=period.start,
                last_at=period.end - INSTANT if period.end else None,
                shown_at=start.astimezone(UTC),
                is_asked=period.holds_at(moment),
            )
        )
    return Band(window=window, pieces=pieces, ticks=ticks, marks=marks, asked=within(moment), today=within(now))


def tick_days(window: Window) -> Iterator[tuple[date, str]]:
    """Yield a handful of round dates: days, Mondays, first days of months, quarters or years."""
    steps = [(9, "D j"), (50, "j M"), (200, "M Y"), (750, "M Y"), (MOST_DAYS, "Y")]
    level = next(place for place, (most, _form) in enumerate(steps) if window.days <= most)
    form = steps[level][1]
    if level < 2:  # noqa: PLR2004 - days and weeks
        for step in range(window.days):
            day = window.from_on + timedelta(days=step)
            if level == 0 or day.weekday() == 0:
                yield day, form
        return
    months = (1, 3, 12)[level - 2]
    # No more than some eight years' lines: every fifth year in a whole working life.
    every = months * max(1, window.days // (366 * 8))
    day = date(window.from_on.year, 1, 1)
    while day <= window.until_on:
        if day >= window.from_on:
            yield day, form
        day = add_months(day, every)
