"""A chart of the weeks to come: a bar for each, as high as the share of its shifts that is covered."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from competencies.queries.line_ahead import LineAhead, WeekAhead

# The picture is 1084 by 186; the bars stand on its ground line.
LEFT: Final = 62
TOP: Final = 12
HEIGHT: Final = 130
STEP: Final = 19
GAP: Final = 3
# Dates under the bars, every so many weeks.
EVERY: Final = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A week in the picture. `planned_y` is where it would reach with what is planned (None: no higher)."""

    week: WeekAhead
    x: int
    y: int
    height: int
    planned_y: int | None

    @property
    def width(self) -> int:
        """Return how wide it is."""
        return STEP - GAP


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """The bars of a line, the dates under them, and where the roster ends (None: there is none)."""

    bars: Sequence[Bar]
    dates: Sequence[tuple[int, date]]
    roster_ends_x: int | None
    ground: int = TOP + HEIGHT


def chart_of(line: LineAhead) -> Chart:
    """Return the picture of a line."""
    bars = [_bar(number, week) for number, week in enumerate(line.weeks)]
    rostered = sum(week.is_rostered for week in line.weeks)
    return Chart(
        bars=bars,
        dates=[(bar.x, bar.week.days.from_on) for bar in bars[::EVERY]],
        roster_ends_x=LEFT + rostered * STEP - GAP // 2 if rostered else None,
    )


def _bar(number: int, week: WeekAhead) -> Bar:
    height = _height(week.covered, week.of)
    planned = _height(week.planned, week.of)
    return Bar(
        week=week,
        x=LEFT + number * STEP,
        y=TOP + HEIGHT - height,
        height=height,
        planned_y=TOP + HEIGHT - planned if planned > height else None,
    )


def _height(covered: int, of: int) -> int:
    return round(HEIGHT * covered / of) if of else 0
