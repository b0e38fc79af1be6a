"""The audit pack of a line and a period: part by part, then joined behind its index."""

import random
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Final

import pikepdf
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.jobs.work import JobFaultError, Kind, Work
from competencies.models import Line, Shift
from competencies.operations.jobs import JobFile
from competencies.operations.paper import Statement, register_statement
from competencies.permissions import may_print_records
from competencies.printing.audit_pack import (
    Part,
    index_part,
    mending_part,
    part_pdf,
    procedures_part,
    shifts_part,
    sign_offs_part,
)
from competencies.printing.joining import join_files
from competencies.printing.records import proof_of
from competencies.queries.audit import (
    AuditSpan,
    audited_tasks,
    chains_of,
    mending_entries,
    people_on,
    revisions_in_force,
)
from competencies.queries.cover_shift import ShiftPage, shift_page
from competencies.queries.journal import journal_lines
from competencies.vocabulary import SheetKind

SAMPLE: Final = 10
SHIFTS_A_PART: Final = 21


def make_pack(work: Work) -> JobFile:
    """Write the pack. The people who were on are named before anything about them is written."""
    asked = work.parameters
    line = Line.objects.select_related("plant").filter(plant=work.plant, pk=asked["line"]).first()
    if line is None:
        raise JobFaultError(_("This line is not there any more."))
    span = AuditSpan(
        line=line, from_on=date.fromisoformat(asked["from_on"]), until_on=date.fromisoformat(asked["until_on"])
    )
    pages = list(_pages(work, span))
    if not pages:
        raise JobFaultError(_("No shift of this period has begun."))
    parts = _parts(work, span, pages)
    _write(work, span, parts)
    return JobFile(name=f"audit-pack-{line.code}.pdf", content_type="application/pdf")


def _pages(work: Work, span: AuditSpan) -> Iterator[ShiftPage]:
    """Yield each shift of the period that has begun; what is rostered for nobody is left out."""
    shifts = list(Shift.objects.filter(plant=work.plant).order_by("starts"))
    count = (span.until_on - span.from_on).days + 1
    for number in range(count):
        for shift in shifts:
            page = shift_page(span.line, shift, span.from_on + timedelta(days=number), now=work.clock())
            if page.cover.start <= work.clock() and page.cover.people:
                yield page
        work.step(number + 1, 2 * count)


def _parts(work: Work, span: AuditSpan, pages: Sequence[ShiftPage]) -> list[Part]:
    tasks, people = audited_tasks(span.line), people_on(pages)
    work.tells_of(people)
    now = work.clock()
    held = [(person, *found) for person in people for found in chains_of(person, tasks, moment=now)]
    seqs = sorted({each.seq for _person, each, _chain in held})
    picker = random.Random(work.parameters["seed"])  # noqa: S311 - a sample that anybody can draw again from its seed
    sample = frozenset(picker.sample(seqs, min(SAMPLE, len(seqs))))
    mended = journal_lines(mending_entries(tasks, people, span), work.plant)
    return [
        procedures_part(tasks, revisions_in_force(tasks, span)),
        *(shifts_part(pages[start : start + SHIFTS_A_PART]) for start in range(0, len(pages), SHIFTS_A_PART)),
        sign_offs_part(held, sample),
        mending_part(mended),
    ]


def _write(work: Work, span: AuditSpan, parts: Sequence[Part]) -> None:
    now = work.clock()
    days = (span.until_on - span.from_on).days + 1
    lines = tuple(line for part in parts for line in part.lines)
    statement = Statement(kind=SheetKind.AUDIT, as_of=span.until_on, lines=lines)
    registered = register_statement(statement=statement, plant=work.plant, printed_by=work.by, now=now)
    proof = proof_of(registered, work.address("competencies:sheet-check", registered.sheet.code), known=None, now=now)
    paths: list[Path] = []
    made = []
    for number, part in enumerate(parts, start=1):
        path = work.folder / f"{number:04d}"
        pdf = part_pdf(part, span, registered, proof)
        path.write_bytes(pdf)
        paths.append(path)
        with pikepdf.open(path) as opened:
            made.append((part, pdf, len(opened.pages)))
        # The days were the first half of the bar.
        work.step(days + days * number // len(parts), 2 * days)
    index = work.folder / "0000"
    index.write_bytes(part_pdf(index_part(made, span, work.parameters["seed"]), span, registered, proof))
    join_files([index, *paths], work.target, title=_("Audit pack: %s") % span.line.title)


KIND: Final = Kind(code="audit", word=gettext_lazy("Audit pack"), may=may_print_records, run=make_pack)
