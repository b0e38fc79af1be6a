"""A story being played, and what went otherwise than it tells."""

from dataclasses import dataclass, field

from competencies.ledger.writer import Appended
from competencies.stories.ground import Ground
from competencies.stories.story import Story


class MissingEntryError(LookupError):
    """The entry that an event is about was never written."""


@dataclass(frozen=True, slots=True)
class Difference:
    """An event that did not go as the story says."""

    line: int
    message: str


@dataclass(slots=True)
class Play:
    """A story being played: its ground, the entries by event id, and what went otherwise than told.

    `notes` are runs that were refused without the story saying so: they do not count, whichever way.
    """

    story: Story
    ground: Ground
    entries: dict[str, Appended] = field(default_factory=dict)
    differences: list[Difference] = field(default_factory=list)
    notes: list[Difference] = field(default_factory=list)
