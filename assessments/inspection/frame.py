"""What an inspection by eye is made of: a drawing of true size, what can be measured in it, its limits, its fault."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

from assessments.inspection.draws import Draws, Zone

#: Words with blanks, and what fills them; both are translated where they are shown.
Parameters = Mapping[str, str]

#: The share of drawings with a fault. A line makes far fewer; with so few nobody would learn to see them.
FAULTY_SHARE = 0.4


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence with blanks `%(name)s`, and what fills them."""

    text: str
    params: Parameters = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that can be read off the drawing: a number with its unit, or a word."""

    says: str
    value: str
    unit: str = ""
    params: Parameters = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Held:
    """A measure held against its limit, told once the answer is in. `fault` is what breaking it is called."""

    measure: Measure
    limit: Sentence
    is_within: bool
    fault: str


@dataclass(frozen=True, slots=True)
class Fault:
    """What can be wrong. `is_graded` where it can be nearer to the limit or farther off."""

    code: str
    name: str
    advice: str
    is_graded: bool = True


@dataclass(frozen=True, slots=True)
class Planned:
    """What a drawing is to show: which fault its critical measure would have, and in which zone that measure lies."""

    about: str
    zone: Zone

    @property
    def fault(self) -> str:
        """Return the code of the fault, or nothing when the drawing is good."""
        return self.about if self.zone.is_outside else ""

    @property
    def is_close(self) -> bool:
        """Whether the critical measure lies close to its limit."""
        return self.zone in {Zone.JUST_WITHIN, Zone.JUST_OUTSIDE}

    def zone_of(self, fault: str) -> Zone:
        """Return the zone of whatever would be called by that fault; all but the critical measure lie well within."""
        return self.zone if self.about == fault else Zone.WELL_WITHIN

    def deviation(self, draws: Draws, name: str, sides: tuple[str, str], limit: tuple[float, float]) -> float:
        """Return how far a measure is off; `sides` are the faults above and below, `limit` tolerance and step."""
        tolerance, step = limit
        if self.about not in sides:
            return draws.deviation(name, Zone.WELL_WITHIN, tolerance, step)
        size = draws.size(name, self.zone, tolerance, step)
        return size if self.about == sides[0] else -size


@dataclass(frozen=True, slots=True, kw_only=True)
class Specimen:
    """One drawing with the plant's limits, everything that can be read off it, and how each limit is kept."""

    drawing: Element
    specified: tuple[Sentence, ...]
    measures: tuple[Measure, ...]
    held: tuple[Held, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """A kind of inspection by eye. `makes` draws what was planned."""

    code: str
    title: str
    asks: str
    faults: tuple[Fault, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    makes: Callable[[Draws, Planned], Specimen]

    def fault(self, code: str) -> Fault | None:
        """Return a fault of this kind by its code, or None."""
        return next((fault for fault in self.faults if fault.code == code), None)


@dataclass(frozen=True, slots=True)
class Item:
    """One drawing to judge, made of a seed."""

    inspection: Inspection
    seed: int
    planned: Planned
    specimen: Specimen

    @property
    def fault(self) -> Fault | None:
        """Return what is wrong, or None when it is good."""
        return self.inspection.fault(self.planned.fault)


def seed_of(series_seed: int, number: int, *, below: int) -> int:
    """Return the seed of one drawing of a series."""
    return Draws(str(series_seed)).below(f"drawing {number}", below)


def item_of(inspection: Inspection, seed: int, *, close_share: float) -> Item:
    """Return the drawing that a kind of inspection makes of a seed.

    `close_share` is the share, 0 to 1, of drawings close to a limit, of the good ones and of the faulty ones alike;
    faults without degrees, such as a missing label, are never close.
    """
    draws = Draws(f"{seed}:{inspection.code}")
    is_close = draws.happens("close", close_share)
    if draws.happens("faulty", FAULTY_SHARE):
        fault = draws.pick("fault", inspection.faults)
        zone = Zone.JUST_OUTSIDE if is_close and fault.is_graded else Zone.WELL_OUTSIDE
    else:
        fault = draws.pick("critical", [each for each in inspection.faults if each.is_graded])
        zone = Zone.JUST_WITHIN if is_close else Zone.WELL_WITHIN
    planned = Planned(fault.code, zone)
    return Item(inspection, seed, planned, inspection.makes(draws, planned))
