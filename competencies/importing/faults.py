"""Faults of a file, each with its place, and the error that carries all of them at once. Pure."""

import dataclasses
from collections.abc import Mapping


def mark(text: str) -> str:
    """Return the text itself.

    Imported as `_` by the readers: it only marks a sentence for the translators, since a pure module has no
    language. Whoever shows the fault translates `text` and fills in `values`.
    """
    return text


@dataclasses.dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong in a file: `line` counts from 1, `field` is the path to the value.

    `text` is a sentence with `%(name)s` places, `values` fills them; `message` is the finished English sentence.
    """

    file: str
    line: int
    field: str
    text: str
    values: Mapping[str, object] = dataclasses.field(default_factory=dict)

    @property
    def message(self) -> str:
        """Return the sentence with its values filled in."""
        return self.text % self.values

    def __str__(self) -> str:
        """Return `file:line: field: message`, as a compiler would."""
        place = f"{self.field}: " if self.field else ""
        return f"{self.file}:{self.line}: {place}{self.message}"


class SyllabusFileError(ValueError):
    """A syllabus file that cannot be taken; `faults` holds every fault found, in the order of the file."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = sorted(faults, key=lambda fault: fault.line)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class Faults:
    """Collects the faults of one file while it is read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[Fault] = []

    def add(self, line: int, field: str, text: str, **values: object) -> None:
        """Note a fault at a line and field."""
        self.found.append(Fault(self.file, line, field, text, values))

    def raise_if_any(self) -> None:
        """Raise SyllabusFileError when a fault was noted."""
        if self.found:
            raise SyllabusFileError(self.found)
