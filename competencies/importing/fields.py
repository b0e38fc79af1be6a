"""Typed fields out of a map node: every wrong value is noted with its place, and reading goes on. Pure."""

import re
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from difflib import SequenceMatcher, get_close_matches
from enum import StrEnum
from typing import TypeVar

from competencies.importing.faults import Faults
from competencies.importing.faults import mark as _
from competencies.importing.nodes import Mapping, Node, Scalar, Sequence

Choice = TypeVar("Choice", bound=StrEnum)
WHOLE = re.compile(r"[0-9]{1,9}")
NUMBER = re.compile(r"[+-]?[0-9]{1,9}(\.[0-9]{1,5})?")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
NEVER = "never"


def nearest(word: str, words: Iterable[str]) -> str:
    """Return the likeliest meant word, or an empty string when none is near."""
    by_lower = {known.lower(): known for known in words}
    near = get_close_matches(word.lower(), by_lower, n=len(by_lower) or 1, cutoff=0.6)
    if not near:
        return ""
    # Of equally near codes, the one with the same signs in the same places: HS-0l is rather HS-01 than HS-10.
    likeliest = min(near, key=lambda known: (-_likeness(known, word.lower()), -_shared_places(known, word), known))
    return by_lower[likeliest]


def _likeness(known: str, word: str) -> float:
    return SequenceMatcher(None, known, word).ratio()


def _shared_places(known: str, word: str) -> int:
    return sum(sign == other for sign, other in zip(known, word.lower(), strict=False))


class Section:
    """One map of the file. Asking for a field that is missing gives its default; a wrong one is noted too."""

    def __init__(self, node: Mapping, path: str, faults: Faults) -> None:
        self.path = path
        self.line = node.line
        self.faults = faults
        self.nodes: dict[str, tuple[int, Node]] = {key.text: (key.line, value) for key, value in node.pairs}

    def expect(self, known: Iterable[str]) -> None:
        """Note every key that is not among the known ones, with the likeliest meant."""
        known = tuple(known)
        for key, (line, _node) in self.nodes.items():
            if key not in known:
                self._note_unknown(key, line, nearest(key, known))

    def _note_unknown(self, key: str, line: int, meant: str) -> None:
        if meant:
            self.faults.add(line, self.at(key), _("this name is not known; did you mean %(meant)s?"), meant=meant)
        else:
            self.faults.add(line, self.at(key), _("this name is not known"))

    def at(self, key: str) -> str:
        """Return the path of a field of this section."""
        return f"{self.path}.{key}" if self.path else key

    def line_of(self, key: str) -> int:
        """Return the line of a field's value, or the section's where the field is missing."""
        if key not in self.nodes:
            return self.line
        line, node = self.nodes[key]
        return node.line if isinstance(node, Scalar) else line

    def note(self, key: str, text: str, **values: object) -> None:
        """Note a fault at a field of this section."""
        self.faults.add(self.line_of(key), self.at(key), text, **values)

    def has(self, key: str) -> bool:
        """Return whether the field is there and not left empty."""
        if key not in self.nodes:
            return False
        node = self.nodes[key][1]
        return not (isinstance(node, Scalar) and node.is_nothing)

    def _scalar(self, key: str) -> Scalar | None:
        if not self.has(key):
            return None
        node = self.nodes[key][1]
        if isinstance(node, Scalar):
            return node
        self.note(key, _("one value was expected here; put a text that holds a colon or starts with [ in quotes"))
        return None

    def text(self, key: str, *, longest: int, required: bool = False) -> str:
        """Return a text of one line with single spaces; empty where it is missing."""
        node = self._scalar(key)
        value = " ".join(node.text.split()) if node else ""
        if required and not value and (node or not self.has(key)):
            self.note(key, _("this is missing"))
        return self._fitting(key, value, longest)

    def _fitting(self, key: str, value: str, longest: int) -> str:
        if len(value) > longest:
            self.note(key, _("this is longer than %(longest)s characters"), longest=longest)
        elif not value.isprintable():
            self.note(key, _("a character that cannot be printed stands in here"))
        return value

    def code(self, key: str = "code", *, longest: int = 20) -> str:
        """Return a required code of letters, digits, dots and dashes."""
        value = self.text(key, longest=longest, required=True)
        if value and not CODE.fullmatch(value):
            self.note(key, _("a code holds only letters, digits, dots and dashes"))
        return value

    def whole(self, key: str, *, low: int, high: int, default: int) -> int:
        """Return a whole number within limits."""
        value = self.whole_or_none(key, low=low, high=high)
        return default if value is None else value

    def whole_or_none(self, key: str, *, low: int, high: int) -> int | None:
        """Return a whole number within limits, or None where it is missing."""
        node = self._scalar(key)
        if node is None:
            return None
        if WHOLE.fullmatch(node.text) and low <= int(node.text) <= high:
            return int(node.text)
        self.note(key, _("a whole number from %(low)s to %(high)s was expected"), low=low, high=high)
        return None

    def is_whole(self, key: str) -> bool:
        """Return whether a field is written as a whole number, without noting anything."""
        node = self.nodes[key][1] if key in self.nodes else None
        return isinstance(node, Scalar) and bool(WHOLE.fullmatch(node.text))

    def decimal(self, key: str) -> Decimal | None:
        """Return a number as it was written, or None where it is missing."""
        node = self._scalar(key)
        if node is None:
            return None
        if NUMBER.fullmatch(node.text):
            return Decimal(node.text)
        self.note(key, _("a number such as 4.5 was expected (a point, at most five decimals, no unit)"))
        return None

    def choice(self, key: str, choices: type[Choice], default: Choice) -> Choice:
        """Return one of a closed list of words."""
        return self.choice_or_none(key, choices) or default

    def choice_or_none(self, key: str, choices: type[Choice]) -> Choice | None:
        """Return one of a closed list of words, or None where it is missing."""
        node = self._scalar(key)
        if node is None:
            return None
        words = [choice.value for choice in choices]
        if node.text in words:
            return choices(node.text)
        self.note(key, _("one of these was expected: %(words)s"), words=", ".join(words))
        return None

    def flag(self, key: str, *, default: bool = False) -> bool:
        """Return a yes or no; the default where it is missing."""
        node = self._scalar(key)
        if node is None:
            return default
        if node.text.lower() not in {"yes", "no", "true", "false"}:
            self.note(key, _("yes or no was expected"))
        return node.text.lower() in {"yes", "true"}

    def day(self, key: str) -> date | None:
        """Return a day written as 2026-01-31, or None where it is missing."""
        node = self._scalar(key)
        if node is None:
            return None
        if DAY.fullmatch(node.text):
            try:
                return date.fromisoformat(node.text)
            except ValueError:
                self.note(key, _("there is no such day"))
                return None
        self.note(key, _("a day such as 2026-01-31 was expected"))
        return None

    def items(self, key: str) -> tuple[Node, ...]:
        """Return the nodes of a list; none where it is missing."""
        if not self.has(key):
            return ()
        node = self.nodes[key][1]
        if isinstance(node, Sequence):
            return node.items
        self.note(key, _("a list was expected here"))
        return ()

    def texts(self, key: str, *, longest: int) -> tuple[str, ...]:
        """Return a list of texts."""
        return tuple(text for text, _line in self.lined_texts(key, longest=longest))

    def lined_texts(self, key: str, *, longest: int) -> tuple[tuple[str, int], ...]:
        """Return a list of texts, each with its line."""
        found: list[tuple[str, int]] = []
        for index, node in enumerate(self.items(key), start=1):
            path = f"{key}[{index}]"
            if not isinstance(node, Scalar):
                message = _("a text was expected here; put a text that holds a colon or starts with [ in quotes")
                self.faults.add(node.line, self.at(path), message)
                continue
            value = " ".join(node.text.split())
            if node.is_nothing or not value:
                self.faults.add(node.line, self.at(path), _("this is empty"))
                continue
            if len(value) > longest or not value.isprintable():
                message = _("a text of at most %(longest)s printable characters was expected")
                self.faults.add(node.line, self.at(path), message, longest=longest)
            found.append((value, node.line))
        return tuple(found)

    def wholes(self, key: str, *, low: int, high: int) -> tuple[int, ...]:
        """Return a list of whole numbers within limits, sorted, each once."""
        found: set[int] = set()
        for text, line in self.lined_texts(key, longest=20):
            if WHOLE.fullmatch(text) and low <= int(text) <= high:
                found.add(int(text))
            else:
                message = _("a whole number from %(low)s to %(high)s was expected")
                self.faults.add(line, self.at(key), message, low=low, high=high)
        return tuple(sorted(found))

    def sections(self, key: str) -> Iterator["Section"]:
        """Yield the maps of a list; their path names the code where they have one, else the place in the list."""
        for index, node in enumerate(self.items(key), start=1):
            if isinstance(node, Mapping):
                yield Section(node, self.at(f"{key}[{_name_of(node) or index}]"), self.faults)
            else:
                message = _("names with values were expected here, such as `code: X1`")
                self.faults.add(node.line, self.at(f"{key}[{index}]"), message)

    def map_of(self, key: str) -> "Section | None":
        """Return a map as a section of its own, or None where it is missing."""
        if not self.has(key):
            return None
        node = self.nodes[key][1]
        if isinstance(node, Mapping):
            return Section(node, self.at(key), self.faults)
        self.note(key, _("names with values were expected here, such as `bottle size: 2`"))
        return None


def _name_of(node: Mapping) -> str:
    for key, value in node.pairs:
        if key.text == "code" and isinstance(value, Scalar):
            return value.text
    return ""
