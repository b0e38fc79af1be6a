"""How each kind of value is written into a body and read back: small, strict, one way only. Pure.

A codec has two methods. `write` takes the program's value and returns whole numbers, text, lists and mappings;
`read` takes those back. Both raise FieldError for anything else, and `read(write(value)) == value`.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any, Protocol

from competencies.ledger.canonical import WHOLE_MAX, Json
from competencies.standing.facts import Scope

MOMENT = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z"
LABEL_MAX = 80


class FieldError(ValueError):
    """The value does not fit the field."""


class Codec(Protocol):
    """Writes a value into a body and reads it back."""

    def write(self, value: Any) -> Json:  # noqa: ANN401 - each codec has its own type
        """Return what stands in the body for `value`."""

    def read(self, raw: Json) -> Any:  # noqa: ANN401 - each codec has its own type
        """Return the value that `raw` stands for."""


@dataclass(frozen=True)
class Whole:
    """A whole number of at least `least`."""

    least: int = 0

    def write(self, value: object) -> Json:
        """Return the number."""
        return self.read(value)

    def read(self, raw: object) -> int:
        """Return the number."""
        if isinstance(raw, bool) or not isinstance(raw, int) or not self.least <= raw <= WHOLE_MAX:
            raise FieldError(f"a whole number from {self.least}, not {raw!r}")
        return raw


@dataclass(frozen=True)
class Flag:
    """Yes or no, kept as 1 or 0."""

    def write(self, value: object) -> Json:
        """Return 1 for True, 0 for False."""
        if not isinstance(value, bool):
            raise FieldError(f"True or False, not {value!r}")
        return int(value)

    def read(self, raw: Json) -> bool:
        """Return whether the flag is set."""
        if raw not in (0, 1):
            raise FieldError(f"0 or 1, not {raw!r}")
        return bool(raw)


@dataclass(frozen=True)
class Word:
    """Text of a fixed form, matched as a whole: codes, digests, tokens."""

    pattern: str
    name: str

    def write(self, value: object) -> Json:
        """Return the text."""
        if not isinstance(value, str) or not re.fullmatch(self.pattern, value):
            raise FieldError(f"{self.name}, not {value!r}")
        return str(value)

    def read(self, raw: Json) -> str:
        """Return the text."""
        return str(self.write(raw))


@dataclass(frozen=True)
class Label:
    """A word of the plant's own framework (range, shift, unit), picked from a list and never typed about a person."""

    def write(self, value: object) -> Json:
        """Return the text."""
        if not isinstance(value, str) or not value.isprintable() or value != value.strip():
            raise FieldError(f"a printable label, not {value!r}")
        if not 0 < len(value) <= LABEL_MAX:
            raise FieldError(f"a label of 1 to {LABEL_MAX} characters, not {value!r}")
        return value

    def read(self, raw: Json) -> str:
        """Return the text."""
        return str(self.write(raw))


@dataclass(frozen=True)
class Choice:
    """One word of a closed list."""

    words: type[StrEnum]

    def write(self, value: object) -> Json:
        """Return the word's value."""
        return self.read(value).value

    def read(self, raw: object) -> StrEnum:
        """Return the word."""
        try:
            return self.words(str(raw))
        except ValueError as error:
            raise FieldError(f"one of {', '.join(self.words)}, not {raw!r}") from error


@dataclass(frozen=True)
class Moment:
    """An instant, kept as UTC text with microseconds."""

    def write(self, value: object) -> Json:
        """Return e.g. "2025-03-10T08:00:00.000000Z"."""
        if not isinstance(value, datetime) or value.tzinfo is None:
            raise FieldError(f"a moment with its time zone, not {value!r}")
        return value.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")

    def read(self, raw: Json) -> datetime:
        """Return the aware datetime, in UTC."""
        if not isinstance(raw, str) or not re.fullmatch(MOMENT, raw):
            raise FieldError(f"a moment in UTC, not {raw!r}")
        try:
            return datetime.fromisoformat(raw)
        except ValueError as error:
            raise FieldError(f"a moment in UTC, not {raw!r}") from error


@dataclass(frozen=True)
class Day:
    """A date of the plant's calendar, kept as e.g. "2025-03-10"."""

    def write(self, value: object) -> Json:
        """Return the date's text."""
        if not isinstance(value, date) or isinstance(value, datetime):
            raise FieldError(f"a date, not {value!r}")
        return value.isoformat()

    def read(self, raw: Json) -> date:
        """Return the date."""
        if not isinstance(raw, str) or not re.fullmatch(r"\d{4}-\d\d-\d\d", raw):
            raise FieldError(f"a date, not {raw!r}")
        try:
            return date.fromisoformat(raw)
        except ValueError as error:
            raise FieldError(f"a date, not {raw!r}") from error


@dataclass(frozen=True)
class Amount:
    """A measured number, kept as the decimal text that was read off: 4.10 stays 4.10."""

    def write(self, value: object) -> Json:
        """Return the digits."""
        if not isinstance(value, Decimal) or not value.is_finite():
            raise FieldError(f"a decimal number, not {value!r}")
        text = f"{value:f}"
        self.read(text)
        return text

    def read(self, raw: Json) -> Decimal:
        """Return the number with the digits it was given with."""
        if not isinstance(raw, str) or not re.fullmatch(r"-?\d{1,20}(\.\d{1,20})?", raw):
            raise FieldError(f"a decimal number, not {raw!r}")
        return Decimal(raw)


@dataclass(frozen=True)
class Ratio:
    """A fraction, kept as e.g. "1/2"."""

    def write(self, value: object) -> Json:
        """Return numerator and denominator."""
        if not isinstance(value, Fraction):
            raise FieldError(f"a fraction, not {value!r}")
        return f"{value.numerator}/{value.denominator}"

    def read(self, raw: Json) -> Fraction:
        """Return the fraction."""
        if not isinstance(raw, str) or not re.fullmatch(r"\d{1,9}/[1-9]\d{0,8}", raw):
            raise FieldError(f"a fraction, not {raw!r}")
        return Fraction(raw)


@dataclass(frozen=True)
class Place:
    """A scope: a line "L1" or a machine at a line "L1/F1". The site is an absent key."""

    pattern: str = r"[\w.-]{1,20}(/[\w.-]{1,20})?"

    def write(self, value: object) -> Json:
        """Return the scope's text."""
        text = str(value) if isinstance(value, Scope) else None
        if text is None or not re.fullmatch(self.pattern, text):
            raise FieldError(f"a scope, not {value!r}")
        return text

    def read(self, raw: Json) -> Scope:
        """Return the scope."""
        if not isinstance(raw, str) or not re.fullmatch(self.pattern, raw):
            raise FieldError(f"a scope, not {raw!r}")
        return Scope.parse(raw)


@dataclass(frozen=True)
class Listed:
    """Several values in their order."""

    of: Codec

    def write(self, value: object) -> Json:
        """Return the list."""
        if not isinstance(value, tuple | list):
            raise FieldError(f"a list, not {value!r}")
        return [self.of.write(item) for item in value]

    def read(self, raw: Json) -> tuple[Any, ...]:
        """Return a tuple."""
        if not isinstance(raw, list):
            raise FieldError(f"a list, not {raw!r}")
        return tuple(self.of.read(item) for item in raw)


@dataclass(frozen=True)
class Several:
    """Several values without an order, kept sorted and without repeats."""

    of: Codec

    def write(self, value: object) -> Json:
        """Return the sorted list."""
        if not isinstance(value, frozenset | set):
            raise FieldError(f"a set, not {value!r}")
        return [self.of.write(item) for item in sorted(value)]

    def read(self, raw: Json) -> frozenset[Any]:
        """Return the set."""
        if not isinstance(raw, list):
            raise FieldError(f"a list, not {raw!r}")
        values = frozenset(self.of.read(item) for item in raw)
        if len(values) != len(raw) or self.write(values) != raw:
            raise FieldError(f"sorted and without repeats, not {raw!r}")
        return values


@dataclass(frozen=True)
class Numbered:
    """A mapping from numbers (of criteria) to values; the keys are kept as their digits."""

    of: Codec

    def write(self, value: object) -> Json:
        """Return the mapping."""
        if not isinstance(value, Mapping):
            raise FieldError(f"a mapping, not {value!r}")
        return {str(Whole().write(key)): self.of.write(item) for key, item in value.items()}

    def read(self, raw: Json) -> dict[int, Any]:
        """Return the mapping by number."""
        if not isinstance(raw, dict) or not all(re.fullmatch(r"0|[1-9]\d{0,8}", key) for key in raw):
            raise FieldError(f"a mapping by number, not {raw!r}")
        return {int(key): self.of.read(item) for key, item in raw.items()}


@dataclass(frozen=True)
class Named:
    """A mapping from labels to values, kept as a list of pairs sorted by label (a key of a body is plain ASCII)."""

    of: Codec

    def write(self, value: object) -> Json:
        """Return the pairs."""
        if not isinstance(value, Mapping):
            raise FieldError(f"a mapping, not {value!r}")
        return [[Label().write(key), self.of.write(value[key])] for key in sorted(value)]

    def read(self, raw: Json) -> dict[str, Any]:
        """Return the mapping by label."""
        if not isinstance(raw, list):
            raise FieldError(f"pairs, not {raw!r}")
        mapping = dict(self._pair(pair) for pair in raw)
        if self.write(mapping) != raw:
            raise FieldError(f"pairs sorted by label, not {raw!r}")
        return mapping

    def _pair(self, raw: Json) -> tuple[str, Any]:
        match raw:
            case [label, item]:
                return Label().read(label), self.of.read(item)
        raise FieldError(f"a pair, not {raw!r}")


@dataclass(frozen=True)
class Record:
    """A small mapping with its own closed list of keys."""

    required: Mapping[str, Codec]
    optional: Mapping[str, Codec] = field(default_factory=dict)

    def write(self, value: object) -> Json:
        """Return the mapping; keys whose value is None are left out."""
        if not isinstance(value, Mapping):
            raise FieldError(f"a mapping, not {value!r}")
        given = {key: item for key, item in value.items() if item is not None}
        self._refuse_strangers(given)
        return {key: self._codec(key).write(item) for key, item in given.items()}

    def read(self, raw: Json) -> dict[str, Any]:
        """Return the mapping."""
        if not isinstance(raw, dict):
            raise FieldError(f"a mapping, not {raw!r}")
        self._refuse_strangers(raw)
        return {key: self._codec(key).read(item) for key, item in raw.items()}

    def _codec(self, key: str) -> Codec:
        return self.required[key] if key in self.required else self.optional[key]

    def _refuse_strangers(self, given: Mapping[str, object]) -> None:
        if missing := self.required.keys() - given.keys():
            raise FieldError(f"missing: {', '.join(sorted(missing))}")
        if strange := given.keys() - self.required.keys() - self.optional.keys():
            raise FieldError(f"not allowed here: {', '.join(sorted(map(str, strange)))}")
