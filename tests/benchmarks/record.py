"""The printed record: 60 tasks and 150 runs, against a bare WeasyPrint document with the same cells and words."""

import re
from html import escape, unescape

from competencies.printing.pdf import draw, render_pdf
from competencies.printing.records import record_html, shift_titles
from competencies.queries.records import progress_records
from tests.benchmarks.figure import Figure, medians_ms
from tests.competencies.printing.conftest import crowd, print_record
from tests.competencies.printing.people import make_recorded
from tests.factories import today

NAME = "record"
COLUMNS = 5


def figures():
    """Return what a full record costs as multiples of what the library needs at least."""
    made = make_recorded()
    printed = print_record(made, change=crowd)
    shifts = shift_titles(made.plant)
    bare = bare_page(printed.html)

    def whole_record():
        record = crowd(progress_records([made.person], on=today(), known=None)[0])
        return render_pdf(record_html(record, printed.proof, shifts=shifts))

    def drawn_bare():
        return draw(bare).write_pdf()

    def untagged():
        return draw(printed.html).write_pdf()

    def tagged():
        return render_pdf(printed.html)

    whole, from_page, without_tags, least = medians_ms(whole_record, tagged, untagged, drawn_bare)
    bare_name = f"bare table, {len(cells_of(printed.html))} cells"
    same_name = "its page, drawn untagged"
    return [
        _figure("from ledger to file", whole, bare_name, least, goal=2.5),
        _figure("from ledger to file", whole, same_name, without_tags, goal=1.15),
        _figure("tags", from_page, same_name, without_tags, goal=1.1),
    ]


def _figure(name, measured, baseline_name, baseline, *, goal):
    return Figure(name=name, unit="ms", measured=measured, baseline_name=baseline_name, baseline=baseline, goal=goal)


def cells_of(html):
    """Return the words of every table cell of a page."""
    found = re.findall(r"<t[dh]\b[^>]*>(.*?)</t[dh]>", html, re.DOTALL)
    return [" ".join(unescape(re.sub(r"<[^>]+>", " ", cell)).split()) for cell in found]


def bare_page(html):
    """Return a page with nothing but one plain table that holds the same cells."""
    cells = [f"<td>{escape(words)}</td>" for words in cells_of(html)]
    rows = ["".join(cells[place : place + COLUMNS]) for place in range(0, len(cells), COLUMNS)]
    body = "".join(f"<tr>{row}</tr>" for row in rows)
    return f'<html lang="en"><title>Bare</title><body><table class="table">{body}</table></body></html>'
