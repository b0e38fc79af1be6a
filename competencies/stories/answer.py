"""One thing that a story asks, and how its words are read."""

from collections.abc import Iterable
from dataclasses import dataclass

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar


@dataclass(frozen=True, slots=True)
class Answer:
    """One thing asked: its line in the file, what was expected and what was found."""

    line: int
    asked: str
    expected: str
    got: str

    @property
    def is_right(self) -> bool:
        """Whether the story's answer was found."""
        return self.expected == self.got


def yes(flag: bool) -> str:  # noqa: FBT001 - the word for it
    """Return the word for a flag."""
    return "true" if flag else "false"


def words(section: Section, key: str) -> tuple[str, ...]:
    """Return a list of words; one word alone is a list of one."""
    if isinstance(section.nodes[key][1], Scalar):
        return (section.text(key, longest=40),)
    return section.texts(key, longest=40)


def listed(names: Iterable[str]) -> str:
    """Return names in order and joined, or "none"."""
    return ", ".join(sorted(names)) or "none"
