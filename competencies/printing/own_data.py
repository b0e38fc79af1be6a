"""Everything kept about a person, on paper."""

from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.printing.pdf import render_pdf
from competencies.queries.own_data import OwnData, Table

TEMPLATE: Final = "competencies/own_data_print.html"


def own_data_pdf(data: OwnData, *, printed_by: str, now: datetime) -> bytes:
    """Return the sheets as a tagged PDF, in the plant's language and zone. Raises PdfUnavailableError."""
    plant = data.person.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        context = {
            "plant": plant,
            "person": data.person,
            "tables": [(table.title, rows_told(table)) for table in data.tables],
            "ledger": data.ledger,
            "as_of": timezone.localtime(data.at).date(),
            "known_at": data.at,
            "printed_at": now,
            "printed_by": printed_by,
        }
        return render_pdf(render_to_string(TEMPLATE, context))


def rows_told(table: Table) -> list[str]:
    """Return each row of a table as a line of names and values; what is empty is left out."""
    return [
        "; ".join(f"{name}: {value}" for name, value in zip(table.columns, row, strict=True) if value != "")
        for row in table.rows
    ]
