"""Readings as two people would have taken them: near the target, the learner's further off than the other's.

Everybody has a hand of their own: a little high on one thing, a little low on another, and always the same way.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from competencies.models import Reading
from competencies.operations.runs import PairedReading

# How far apart two practised people read, as a part of what may lie between them.
STEADY, UNSTEADY = 0.25, 0.6


# How far off people's hands are, as a part of the same, and those who are known for more: who, what, how far.
HAND = 0.15
KNOWN_HANDS = {
    ("1043", "return temperature"): 1.4,
    ("1039", "fermentation temperature"): -1.1,
    ("1020", "overlap"): 0.8,
}
# What is read twice in the demo plant, so that it can be told how well one person repeats a reading.
READ_TWICE = frozenset({"return temperature", "overlap"})


@dataclass(frozen=True, slots=True)
class Readers:
    """The employee numbers of the one who learns and the one who watches, and whether the learner is steady."""

    trainee: str
    watcher: str
    steady: bool = True


def paired_readings(readings: Iterable[Reading], chance: Random, readers: Readers) -> list[PairedReading]:
    """Return a pair for each reading that is a number; those in words are left to the criteria."""
    pairs = []
    for reading in readings:
        if _middle(reading):
            pairs.append(_pair(reading, chance, readers))
            if reading.name in READ_TWICE and reading.paired_tolerance:
                pairs.append(_again(reading, pairs[-1], readers))
    return pairs


def _again(reading: Reading, first: PairedReading, readers: Readers) -> PairedReading:
    """Return the same thing read a second time, by both: near to what each read before."""
    # A chance of its own: the rest of the history stays as it is.
    chance = Random(f"again {readers.trainee} {reading.name} {first.trainee} {first.assessor}")  # noqa: S311 - made up
    apart = float(_apart(reading, _middle(reading) or Decimal(0)))
    trainee, assessor = (
        _written(reading, float(value or 0) + chance.gauss(0, apart * STEADY / 2))
        for value in (first.trainee, first.assessor)
    )
    met = _fits(reading, assessor)
    return PairedReading(number=first.number, unit=first.unit, trainee=trainee, assessor=assessor, met=met)


def _pair(reading: Reading, chance: Random, readers: Readers) -> PairedReading:
    middle = _middle(reading) or Decimal(0)
    apart = float(_apart(reading, middle))
    unsteadiness = STEADY if readers.steady else UNSTEADY
    true = float(middle) + chance.gauss(0, apart / 2)
    assessor = _written(reading, true + apart * _hand(readers.watcher, reading.name))
    trainee = _written(
        reading, true + apart * _hand(readers.trainee, reading.name) + chance.gauss(0, apart * unsteadiness)
    )
    return PairedReading(
        number=reading.number, unit=reading.unit, trainee=trainee, assessor=assessor, met=_fits(reading, assessor)
    )


def _hand(number: str, name: str) -> float:
    """Return how far off somebody reads something, as a part of what may lie between two people."""
    usual = Random(f"hand {number} {name}").gauss(0, HAND)  # noqa: S311 - a made-up history
    return KNOWN_HANDS.get((number, name), usual)


def _middle(reading: Reading) -> Decimal | None:
    """Return the value that is most often read: the target, else between or well inside the limits."""
    if reading.target is not None:
        return reading.target
    if reading.low is not None and reading.high is not None:
        return (reading.low + reading.high) / 2
    if reading.high is not None:
        return reading.high * Decimal("0.6")
    return reading.low * Decimal("1.2") if reading.low is not None else None


def _apart(reading: Reading, middle: Decimal) -> Decimal:
    """Return what may lie between two people's readings: zero where the limits leave no room."""
    limits = [limit for limit in (reading.low, reading.high) if limit is not None]
    room = min((abs(limit - middle) for limit in limits), default=abs(middle) / 20)
    tolerance = reading.paired_tolerance if reading.paired_tolerance is not None else room / 3
    return min(tolerance, room)


def _written(reading: Reading, value: float) -> Decimal:
    """Return the value within the limits, with as many decimals as the limits have and one more where one may be."""
    figures = [figure for figure in (reading.target, reading.low, reading.high, reading.paired_tolerance) if figure]
    places = max((_places(figure) for figure in figures), default=0)
    written = round(Decimal(str(value)), places)
    if reading.low is not None:
        written = max(written, reading.low.normalize())
    if reading.high is not None:
        written = min(written, reading.high.normalize())
    return Decimal(f"{written:f}")


def _places(figure: Decimal) -> int:
    exponent = figure.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _fits(reading: Reading, value: Decimal) -> bool:
    above = reading.low is None or value >= reading.low
    return above and (reading.high is None or value <= reading.high)
