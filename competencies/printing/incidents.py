"""The copy of an incident on paper: in black and white, both answers side by side, with what ties it down."""

from typing import Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.models import Incident
from competencies.printing.pdf import render_pdf
from competencies.printing.qr import qr_data_uri
from competencies.printing.records import Proof, in_groups
from competencies.queries.incidents.telling import IncidentTold

TEMPLATE: Final = "competencies/incident_sheet.html"


def incident_pdf(kept: Incident, told: IncidentTold, proof: Proof) -> bytes:
    """Return the sheets as a tagged PDF. Raises PdfUnavailableError."""
    return render_pdf(incident_html(kept, told, proof))


def incident_html(kept: Incident, told: IncidentTold, proof: Proof) -> str:
    """Return the page, in the plant's language and zone."""
    context = {
        "plant": kept.plant,
        "kept": kept,
        "told": told,
        "proof": proof,
        "digest_groups": in_groups(kept.digest),
        "head_groups": in_groups(proof.head),
        "root_groups": in_groups(proof.root),
        "qr": qr_data_uri(proof.address),
        "as_of": kept.on,
        "known_at": proof.known_at,
        "printed_at": proof.printed_at,
        "printed_by": proof.printed_by,
        "check_code": proof.code,
    }
    with timezone.override(ZoneInfo(kept.plant.timezone)), translation.override(kept.plant.language):
        return render_to_string(TEMPLATE, context)
