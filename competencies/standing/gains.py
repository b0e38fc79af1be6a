"""What it would bring a line if one more person could stand somewhere, and which way to it brings most an hour. Pure.

The cover of a line is weighed as the slots that can be filled with everybody there, and again with each of them
missing in turn: the first is what the shift needs, the second is what it can bear (R9.2, R9.6).
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from competencies.standing.placing import Needs, place


@dataclass(frozen=True, slots=True)
class Gain:
    """What one more person at some slots brings a line.

    `filled` counts further slots that can be filled with everybody there, `spared` the people whose absence would
    leave fewer slots empty than before. `worth` puts them together, in slots: `filled`, and the mean over each person
    missing in turn of the further slots that can be filled then.
    """

    filled: int
    spared: int
    worth: float


def gain_of(needs: Needs, person: int, slots: Collection[int]) -> Gain:
    """Return what it brings if a person could stand at some further slots."""
    more = replace(
        needs,
        able=tuple(
            (*found, person) if slot in slots and person not in found else found
            for slot, found in enumerate(needs.able)
        ),
    )
    filled = len(place(more)) - len(place(needs))
    others = [each for each in needs.people if each != person]
    each_missing = [len(place(more.without({other}))) - len(place(needs.without({other}))) for other in others]
    mean = sum(each_missing) / len(each_missing) if each_missing else 0.0
    return Gain(filled=filled, spared=sum(gain > 0 for gain in each_missing), worth=filled + mean)


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A way of a person to a task: what it brings once gone, and the minutes of all its steps."""

    person: int
    task: str
    gain: Gain
    minutes: int

    @property
    def worth_an_hour(self) -> float:
        """Return the slots gained for each hour of the whole way."""
        return self.gain.worth * 60 / self.minutes


def best_ways(ways: Iterable[Way]) -> Sequence[Way]:
    """Return the ways that bring anything, most an hour first; of equal ones the shorter, then as given."""
    useful = [way for way in ways if way.gain.worth > 0 and way.minutes > 0]
    return sorted(useful, key=lambda way: (-way.worth_an_hour, way.minutes))
