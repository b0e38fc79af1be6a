"""Two sheets about one assessment: its record with all signatures, and the certificate of a sign-off in force."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation

from competencies.models import Plant
from competencies.operations.paper import Registered
from competencies.printing.explanations import word_lines
from competencies.printing.pdf import render_pdf
from competencies.printing.records import Proof
from competencies.printing.sheets import proof_context
from competencies.queries.chain import Link, SignOffChain
from competencies.queries.explanation import Explanation
from competencies.queries.outcomes import OutcomeShown
from competencies.vocabulary import SheetKind
from competencies.wording import STANDINGS

TEMPLATES: Final = {
    SheetKind.ASSESSMENT: "competencies/sheets/assessment.html",
    SheetKind.CERTIFICATE: "competencies/sheets/certificate.html",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOffSheet:
    """An assessment with everybody behind it, the standing it led to, and what the trainee said of it."""

    chain: SignOffChain
    explained: Explanation
    outcome: OutcomeShown | None

    @property
    def is_certifiable(self) -> bool:
        """Whether a certificate may say so: competent, in force now, and by this assessment."""
        period, record = self.explained.period, self.chain.record
        return record.is_competent and period.standing.is_in_force and record.fact.seq in period.rests_on

    @property
    def effective_at(self) -> datetime:
        """Return the moment of the last needed signature (R2.5)."""
        record = self.chain.record
        return max(each.signed_at for each in (record.signature, *record.second))


def sign_off_pdf(sheet: SignOffSheet, kind: SheetKind, registered: Registered, proof: Proof) -> bytes:
    """Return the record or the certificate as a tagged PDF. Raises PdfUnavailableError."""
    plant: Plant = sheet.explained.person.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        context = {**_context(sheet), **proof_context(plant, registered, proof)}
        return render_pdf(render_to_string(TEMPLATES[kind], context))


def _context(sheet: SignOffSheet) -> dict[str, Any]:
    chain = sheet.chain
    return {
        "sheet": sheet,
        "record": chain.record,
        "found": sheet.explained,
        "word": STANDINGS[sheet.explained.period.standing],
        "signers": [_signer(link) for link in (chain.assessor, *chain.seconds)],
        "assessor": _signer(chain.assessor),
        "runs": chain.runs,
        "since": chain.since,
        "outcome": sheet.outcome,
    }


def _signer(link: Link) -> dict[str, Any]:
    """Return a signature with what entitled its signer, as known when it was written."""
    return {"signature": link.signature, "entitled": word_lines(link.then)}
