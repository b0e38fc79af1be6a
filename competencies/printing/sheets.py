"""The sheets of the desk: what each states, and how it comes onto paper."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.models import Plant
from competencies.operations.paper import Registered, Statement
from competencies.printing.pdf import render_pdf
from competencies.printing.qr import qr_data_uri
from competencies.printing.records import Proof, in_groups


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet before it is registered: what it states, and what its template shows beside that."""

    plant: Plant
    statement: Statement
    context: Mapping[str, Any]


def sheet_pdf(sheet: Sheet, registered: Registered, proof: Proof) -> bytes:
    """Return a registered sheet as a tagged PDF. Raises PdfUnavailableError."""
    return render_pdf(sheet_html(sheet, registered, proof))


def sheet_html(sheet: Sheet, registered: Registered, proof: Proof) -> str:
    """Return the page of a sheet, in the plant's language and zone."""
    template = f"competencies/sheets/{sheet.statement.kind.value.replace('-', '_')}.html"
    with timezone.override(ZoneInfo(sheet.plant.timezone)), translation.override(sheet.plant.language):
        return render_to_string(template, {**sheet.context, **proof_context(sheet.plant, registered, proof)})


def proof_context(plant: Plant, registered: Registered, proof: Proof) -> dict[str, Any]:
    """Return what every sheet says of itself."""
    return {
        "plant": plant,
        "proof": proof,
        "qr": qr_data_uri(proof.address),
        "digest_groups": in_groups(registered.sheet.digest),
        "head_groups": in_groups(proof.head),
        "root_groups": in_groups(proof.root),
        "as_of": registered.sheet.as_of,
        "known_at": proof.known_at,
        "printed_at": proof.printed_at,
        "printed_by": proof.printed_by,
        "check_code": proof.code,
    }
