"""The cover of the weeks to come on paper: a chart for each line, its first breaks, its figures."""

from collections.abc import Sequence
from typing import Any, Final
from urllib.parse import quote
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.models import Person, Plant
from competencies.printing.pdf import render_pdf
from competencies.queries.ahead_chart import Chart, chart_of
from competencies.queries.line_ahead import LineAhead
from competencies.queries.teams import Ahead

TEMPLATE: Final = "competencies/cover_ahead_print.html"


def ahead_pdf(
    ahead: Ahead, lines: Sequence[LineAhead], *, plant: Plant, missing: Person | None, printed_by: str
) -> bytes:
    """Return the sheets as a tagged PDF. Raises PdfUnavailableError."""
    return render_pdf(ahead_html(ahead, lines, plant=plant, missing=missing, printed_by=printed_by))


def ahead_html(
    ahead: Ahead, lines: Sequence[LineAhead], *, plant: Plant, missing: Person | None, printed_by: str
) -> str:
    """Return the page, in the plant's language and zone."""
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        context: dict[str, Any] = {
            "plant": plant,
            "ahead": ahead,
            "lines": [(line, _picture(chart_of(line))) for line in lines],
            "missing": missing,
            "as_of": ahead.today,
            "known_at": ahead.now,
            "printed_at": ahead.now,
            "printed_by": printed_by,
        }
        return render_to_string(TEMPLATE, context)


def _picture(chart: Chart) -> str:
    """Return the chart as a picture of its own: a drawing within the page would go without its text on paper."""
    drawing = render_to_string("components/ahead_drawing.html", {"chart": chart})
    return f"data:image/svg+xml,{quote(' '.join(drawing.split()))}"
