"""Two issues of a procedure side by side: each of its lists as lines, and each line word by word."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

from django.utils.translation import gettext as _

from competencies.forms.judging import limits_in_words
from competencies.forms.procedures import criterion_text
from competencies.importing.syllabus import ProcedureRow, ReadingRow
from competencies.importing.word_changes import LineChange, line_changes


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One list of a procedure, such as its hazards, with what became of each line."""

    title: str
    lines: Sequence[LineChange]

    @property
    def is_changed(self) -> bool:
        """Whether any line came, went, moved or reads otherwise."""
        return any(line.is_changed or line.is_moved for line in self.lines)


def procedure_parts(before: ProcedureRow, after: ProcedureRow) -> list[Part]:
    """Return the parts of a procedure before and after; a part that is empty in both is left out."""
    old, new = _lines(before), _lines(after)
    parts = [Part(title=title, lines=line_changes(old[title], lines)) for title, lines in new.items()]
    return [part for part in parts if part.lines]


def _lines(procedure: ProcedureRow) -> dict[str, list[str]]:
    return {
        _("What is judged"): [criterion_text(row) for row in procedure.criteria],
        _("Readings"): [reading_line(row) for row in procedure.readings],
        _("Hazards"): list(procedure.hazards),
        _("Protective equipment"): list(procedure.protective_equipment),
        _("Where the evidence lies"): [procedure.evidence] if procedure.evidence else [],
    }


def reading_line(row: ReadingRow) -> str:
    """Return a reading with its limits and unit."""
    # A row of a file has the same fields as a stored reading.
    return f"{row.name}: {limits_in_words(cast('Any', row))}"
