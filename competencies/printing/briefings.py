"""The briefing on a revision, on paper: what changed, word by word, and a line for everybody it is told to."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.models import Person, Task, TaskRevision
from competencies.printing.pdf import render_pdf

TEMPLATE: Final = "competencies/revision_briefing.html"
# Somebody who is not on the list came along, or stood in.
FREE_LINES: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Briefing:
    """What is told on a sheet, and to whom; `parts` are those of the comparison."""

    task: Task
    before: TaskRevision
    after: TaskRevision
    parts: Sequence[Any]
    people: Sequence[Person]


def briefing_pdf(briefing: Briefing, *, printed_by: str, on: date, now: datetime) -> bytes:
    """Return the sheets as a tagged PDF, in the plant's language and zone. Raises PdfUnavailableError."""
    plant = briefing.task.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        context = {
            "plant": plant,
            "briefing": briefing,
            "free_lines": range(FREE_LINES),
            "as_of": on,
            "known_at": now,
            "printed_at": now,
            "printed_by": printed_by,
        }
        return render_pdf(render_to_string(TEMPLATE, context))
