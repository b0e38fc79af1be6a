"""The plot of differences against means: where each mark and line goes on a sheet of fixed size. Pure.

One source for page and paper: the template draws what stands here, and decides nothing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from assessments.statistics.agreement import Agreement, Pair

WIDTH, HEIGHT = 480.0, 340.0
LEFT, RIGHT, TOP, BOTTOM = 58.0, 372.0, 26.0, 288.0
#: Two labels at the right edge stand at least so far apart, or one hides the other.
LINE_HEIGHT: Final = 19.0
MARGIN: Final = 0.08
STEPS: Final = (1.0, 2.0, 5.0)


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: where it stands, its value and the decimals that tell it from its neighbours."""

    at: float
    value: float
    places: int


@dataclass(frozen=True, slots=True)
class Mark:
    """A pair of readings, or several alike; `is_beyond` the task's limit, which gives it another shape."""

    x: float
    y: float
    count: int
    is_beyond: bool


@dataclass(frozen=True, slots=True)
class Level:
    """A line across, with the height of its label; `name` is bias, low or high."""

    name: str
    y: float
    label_y: float
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Everything that is drawn, in the sheet's own units with 0 at the top left.

    `band` is top and height of what the task lets lie between two readings, None where it sets no limit.
    """

    marks: tuple[Mark, ...]
    levels: tuple[Level, ...]
    zero: float
    band: tuple[float, float] | None
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class _Scale:
    """Maps values from `low` to `high` onto the sheet from `start` to `end`."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def plot(pairs: Sequence[Pair], found: Agreement, most: Decimal | None) -> Plot:
    """Return the plot of some pairs, with the lines of their agreement and the band of the task's limit."""
    limits = [found.limits.low, found.limits.high] if found.limits else []
    room = [float(most), -float(most)] if most is not None else []
    differences = [float(one - other) for one, other in pairs]
    across = _scale([float(one + other) / 2 for one, other in pairs], LEFT, RIGHT)
    up = _scale([0.0, found.bias, *differences, *limits, *room], BOTTOM, TOP)
    values = [("bias", found.bias), *zip(("low", "high"), limits, strict=False)]
    return Plot(
        marks=_marks(pairs, across, up, most),
        levels=_levels(values, up),
        zero=up(0.0),
        band=(up(room[0]), up(room[1]) - up(room[0])) if room else None,
        x_ticks=_ticks(across),
        y_ticks=_ticks(up),
    )


def _scale(values: Sequence[float], start: float, end: float) -> _Scale:
    """Return a scale with some room at both ends, also where all values are alike."""
    low, high = min(values), max(values)
    margin = (high - low) * MARGIN or max(abs(low) * MARGIN, MARGIN)
    return _Scale(low - margin, high + margin, start, end)


def _marks(pairs: Sequence[Pair], across: _Scale, up: _Scale, most: Decimal | None) -> tuple[Mark, ...]:
    counts: dict[Pair, int] = {}
    for pair in pairs:
        counts[pair] = counts.get(pair, 0) + 1
    return tuple(
        Mark(
            x=across(float(one + other) / 2),
            y=up(float(one - other)),
            count=count,
            is_beyond=most is not None and abs(one - other) > most,
        )
        for (one, other), count in counts.items()
    )


def _levels(values: Sequence[tuple[str, float]], up: _Scale) -> tuple[Level, ...]:
    """Return the lines from the top down, their labels apart and above the foot of the plot."""
    ordered = sorted(values, key=lambda each: -each[1])
    places: list[float] = []
    for _name, value in ordered:
        places.append(max([up(value), *(each + LINE_HEIGHT for each in places[-1:])]))
    # Whatever was pushed over the foot goes back up, and pushes the labels above it.
    foot = BOTTOM
    for index in reversed(range(len(places))):
        places[index] = min(places[index], foot)
        foot = places[index] - LINE_HEIGHT
    return tuple(Level(name, up(value), place, value) for (name, value), place in zip(ordered, places, strict=True))


def _ticks(scale: _Scale, wanted: int = 5) -> tuple[Tick, ...]:
    """Return about five marks at round values: 1, 2 or 5 times a power of ten apart."""
    rough = (scale.high - scale.low) / wanted
    power = math.floor(math.log10(rough))
    factor = next((each for each in STEPS if each * 10.0**power >= rough), 1.0)
    if factor == 1.0 and rough > 10.0**power:
        power += 1
    step, places = factor * 10.0**power, max(0, -power)
    first, last = math.ceil(scale.low / step), math.floor(scale.high / step)
    return tuple(Tick(scale(number * step), round(number * step, places), places) for number in range(first, last + 1))
