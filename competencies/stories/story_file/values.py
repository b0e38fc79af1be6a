"""Values that several sections of a story hold."""

from datetime import date

from competencies.importing.fields import Section
from competencies.importing.nodes import Scalar

ALWAYS = date(1990, 1, 1)


def day_told(section: Section, key: str, *, default: date | None = None) -> date:
    """Return a day that must be told; without one note the fault."""
    found = section.day(key) or default
    if found is None:
        section.note(key, "a day such as 2026-01-31 was expected")
        return ALWAYS
    return found


def is_scalar(section: Section, key: str) -> bool:
    """Whether a field is one value, and no list and no map."""
    return isinstance(section.nodes[key][1], Scalar)


def whole_map(section: Section, key: str) -> dict[str, int]:
    """Return a field that names whole numbers."""
    inner = section.map_of(key)
    return {name: inner.whole(name, low=0, high=1000, default=0) for name in inner.nodes} if inner else {}


def texts(section: Section, key: str) -> tuple[str, ...]:
    """Return a field that lists codes, each with its place if one is named."""
    return section.texts(key, longest=42)
