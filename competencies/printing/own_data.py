"""Everything kept about a person, on paper."""

from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from competencies.printing.pdf import render_pdf
from competencies.queries.own_data import OwnData, Table

TEMPLATE: Final = "competencies/own_data_print.html"
REPEATED: Final = frozenset({"competencies.Detached"})
EMPTY: Final = frozenset({"", "[]", "{}"})
WORKINGS: Final = frozenset({"id", "person", "reasons", "way_back", "rests_on"})


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
    """Return each row of a table as a line of names and values; what is empty is left out.

    What the ledger's entries tell already is not printed twice: names and texts stand with their entries, and of the
    periods of standing, which are worked out from the entries, only those known today are told. The file for machines
    holds them all.
    """
    if table.label in REPEATED:
        return [_("%(count)s rows, told with the entries of the ledger below.") % {"count": len(table.rows)}]
    columns = table.columns
    known_to = columns.index("known_to") if "known_to" in columns else None
    rows = [row for row in table.rows if known_to is None or not row[known_to]]
    told = [
        "; ".join(
            f"{name}: {value}"
            for name, value in zip(columns, row, strict=True)
            if value not in EMPTY and name not in WORKINGS
        )
        for row in rows
    ]
    if left := len(table.rows) - len(rows):
        told.append(_("%(count)s more as they were known earlier: see the file for machines.") % {"count": left})
    return told
