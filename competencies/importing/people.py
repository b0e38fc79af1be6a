"""People as plain rows: what a spreadsheet says, and what the plant knows already. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from competencies.vocabulary import AuthorityKind


@dataclass(frozen=True, slots=True, order=True)
class RoleRow:
    """What a person is to be entrusted with; an empty `area` means the whole plant."""

    kind: AuthorityKind
    area: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRow:
    """One person of the file. `row` counts as the spreadsheet does, the heading being row 1.

    None, or an empty text, means that the cell was left empty or the column is not there: what the plant has stays.
    """

    row: int
    works_number: str
    name: str
    started_on: date | None
    crew: str = ""
    area: str = ""
    last_day: date | None = None
    restricted_until: date | None = None
    roles: tuple[RoleRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Remark:
    """A fault or a warning about a cell: `row` as the spreadsheet counts, `column` by its heading.

    `text` is a sentence with `%(name)s` places, `values` fills them.
    """

    row: int
    column: str
    text: str
    values: Mapping[str, object] = field(default_factory=dict)

    @property
    def message(self) -> str:
        """Return the sentence with its values filled in."""
        return self.text % self.values

    def __str__(self) -> str:
        """Return `row 3, crew: message`."""
        place = f"row {self.row}, {self.column}" if self.column else f"row {self.row}"
        return f"{place}: {self.message}"


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPlant:
    """What the plant has already: crew and area codes, and the name behind each employee number."""

    crews: frozenset[str] = frozenset()
    areas: frozenset[str] = frozenset()
    names: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleFile:
    """What a spreadsheet holds. With any fault nothing of it may be taken; warnings are for the reader's eyes."""

    rows: tuple[PersonRow, ...] = ()
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
