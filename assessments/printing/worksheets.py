"""A worksheet on paper, and its key: a file each, every copy with pages of its own."""

import math
from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.translation import gettext as _

from assessments.calculations.frame import Measured
from assessments.generation import Problem, ShownStep
from assessments.models import Worksheet, WorksheetCopy
from assessments.notation import Look, math_element, rounded
from assessments.printing.formulas import formula_picture
from assessments.queries.library import Library
from assessments.queries.worksheets import SetProblem, problems_on
from assessments.vocabulary import AnswerKind
from competencies.printing.joining import join_pdfs
from competencies.printing.pdf import render_pdf
from competencies.printing.qr import qr_data_uri

SHEET: Final = "assessments/worksheet_print.html"
KEY: Final = "assessments/worksheet_key_print.html"
Row = dict[str, Any]


def sheet_pdf(
    worksheet: Worksheet, copies: Sequence[WorksheetCopy], library: Library, *, address: str, now: datetime
) -> bytes:
    """Return the problems of every copy as one tagged PDF. Raises PdfUnavailableError."""
    return _joined(worksheet, [sheet_html(worksheet, copy, library, address=address, now=now) for copy in copies])


def key_pdf(
    worksheet: Worksheet, copies: Sequence[WorksheetCopy], library: Library, *, address: str, now: datetime
) -> bytes:
    """Return answers and worked steps of every copy as one tagged PDF. Raises PdfUnavailableError.

    Copies with the same figures have one key between them.
    """
    distinct = copies[:1] if all(copy.problems == copies[0].problems for copy in copies) else copies
    return _joined(worksheet, [key_html(worksheet, copy, library, address=address, now=now) for copy in distinct])


def _joined(worksheet: Worksheet, pages: Sequence[str]) -> bytes:
    pdfs = [render_pdf(page) for page in pages]
    return pdfs[0] if len(pdfs) == 1 else join_pdfs(pdfs, title=f"{worksheet} {worksheet.title}")


def sheet_html(worksheet: Worksheet, copy: WorksheetCopy, library: Library, *, address: str, now: datetime) -> str:
    """Return the page of one copy, in the plant's language and zone; it tells no answer."""
    return _page(SHEET, worksheet, copy, library, address=address, now=now)


def key_html(worksheet: Worksheet, copy: WorksheetCopy, library: Library, *, address: str, now: datetime) -> str:
    """Return the key of one copy, in the plant's language and zone."""
    return _page(KEY, worksheet, copy, library, address=address, now=now)


def _page(
    template: str, worksheet: Worksheet, copy: WorksheetCopy, library: Library, *, address: str, now: datetime
) -> str:
    plant = worksheet.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        found = problems_on(copy, library)
        rows = [_key_row(each) if template == KEY else _sheet_row(each) for each in found]
        context = {
            "plant": plant,
            "worksheet": worksheet,
            "copy": copy,
            "rows": rows,
            "cautions": _cautions(found),
            "qr": qr_data_uri(address),
            "address": address,
            "printed_at": now,
        }
        return render_to_string(template, context)


def _cautions(found: Sequence[SetProblem]) -> list[str]:
    return list(dict.fromkeys(_(text) for each in found if each.problem for text in each.problem.calculation.cautions))


def _sheet_row(each: SetProblem) -> Row:
    row: Row = {"number": each.number, "code": each.code.partition("-")[0]}
    if each.problem is None:
        givens = [{"says": _(says), "value": value} for says, value in each.givens.items()]
        return {**row, "title": each.code, "asks": "", "givens": givens, "options": [], "has_unit": True}
    kind = each.problem.calculation
    return {
        **row,
        "title": _(kind.title),
        "asks": _(kind.asks),
        "givens": _givens(each.problem),
        "options": [_(option) for option in kind.options],
        "has_unit": kind.kind is AnswerKind.QUANTITY,
    }


def _givens(problem: Problem) -> list[Row]:
    rows = []
    for given in problem.calculation.givens:
        symbol = math_element(Look().symbol(given.symbol), display="inline")
        rows.append(
            {
                "says": _(given.says),
                "symbol": formula_picture(symbol, given.symbol) if isinstance(given, Measured) else None,
                "value": f"{_(given.show(problem.givens[given.name]))} {given.shown_unit}".strip(),
            }
        )
    return rows


def _key_row(each: SetProblem) -> Row:
    row = {**_sheet_row(each), "answer": _(each.answer)}
    if each.problem is None:
        return {**row, "steps": [], "slips": [], "within": "", "sources": []}
    problem = each.problem
    return {
        **row,
        "within": within(problem),
        "steps": [_step(step) for step in problem.steps()],
        "slips": slip_rows(problem),
        "sources": [str(reference) for reference in problem.calculation.references],
    }


def _step(step: ShownStep) -> Row:
    return {
        "says": _(step.says),
        "symbols": formula_picture(step.symbols, step.symbols_text),
        "numbers": formula_picture(step.numbers, step.numbers_text),
        "result": f"{_(step.result)} {step.unit}".strip(),
    }


def within(problem: Problem) -> str:
    """Return how far from the answer still counts as right, to two figures; empty where nothing else does."""
    if problem.calculation.kind is not AnswerKind.QUANTITY:
        return ""
    decimals = max(problem.calculation.answer.decimals, 1 - math.floor(math.log10(problem.tolerance)))
    return f"{rounded(problem.tolerance, decimals):f} {problem.unit}"


def slip_rows(problem: Problem) -> list[Row]:
    """Return for each slip the value by which it is known, what went wrong, and how to avoid it."""
    show, unit = problem.calculation.answer.show, problem.unit
    return [
        {
            "value": f"{_(show(problem.slip_value(slip)))} {unit}".strip(),
            "name": _(slip.name),
            "advice": _(slip.advice),
        }
        for slip in problem.slips
    ]
