"""Everything kept about a person, on paper."""

import re
from contextlib import suppress
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from competencies.printing.pdf import render_pdf
from competencies.queries.own_data import OwnData, Table
from competencies.vocabulary import Standing
from competencies.wording import STANDINGS

TEMPLATE: Final = "competencies/own_data_print.html"
REPEATED: Final = frozenset({"competencies.Detached"})
EMPTY: Final = frozenset({"", "[]", "{}"})
YES_OR_NO: Final = frozenset({"True", "False"})
DAY: Final = re.compile(r"\d{4}-\d\d-\d\d")
MOMENT: Final = re.compile(r"\d{4}-\d\d-\d\dT\S+")
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
            f"{name_told(name)}: {value_told(name, value)}"
            for name, value in zip(columns, row, strict=True)
            if value not in EMPTY and name not in WORKINGS
        )
        for row in rows
    ]
    if left := len(table.rows) - len(rows):
        told.append(_("%(count)s more as they were known earlier: see the file for machines.") % {"count": left})
    return told


def name_told(column: str) -> str:
    """Return the name of a column as a reader would say it: `starts_at` as "starts at"."""
    return column.replace("_", " ")


def value_told(column: str, value: str) -> str:
    """Return a value as a reader would say it: a standing in its words, days and moments in full, yes or no."""
    if column == "standing":
        return str(STANDINGS[Standing(value)])
    if value in YES_OR_NO:
        return _("yes") if value == "True" else _("no")
    # What somebody typed may look like a day, and be none.
    with suppress(ValueError):
        if MOMENT.fullmatch(value):
            return date_format(timezone.localtime(datetime.fromisoformat(value)), "j M Y H:i O")
        if DAY.fullmatch(value):
            return date_format(date.fromisoformat(value), "j M Y")
    return value
