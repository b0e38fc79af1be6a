"""The tables of readings that agree: heads and rows, every number with its unit."""

from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from assessments.queries.agreement import Compared, PairRow, QuantityOverview, Share
from assessments.statistics.intervals import Interval
from assessments.views.agreement_words import finding_word, measure_of, minus, most_words
from competencies.templatetags.entry_words import KINDS

Row = list[Any]


def overview_heads() -> Row:
    """Return the heads of the overview."""
    return [
        _("Reading"),
        {"text": _("Pairs"), "number": True},
        {"text": _("Trainees"), "number": True},
        {"text": _("To go through with"), "number": True},
        {"text": _("Mean difference"), "number": True},
        {"text": _("Limits of agreement"), "number": True},
        {"text": _("May differ by"), "number": True},
        {"text": _("Further apart"), "number": True},
    ]


def overview_row(each: QuantityOverview, query: str) -> Row:
    """Return the row of a quantity in the overview; `query` carries the period on."""
    compared = each.compared
    address = reverse("assessments:agreement-quantity", args=[compared.quantity.reading_id]) + query
    return [
        _named(compared, address),
        _count(compared.found.pairs),
        _count(each.people),
        _count(each.astray),
        *_figures_cells(compared),
    ]


def person_heads() -> Row:
    """Return the heads of a person's quantities."""
    return [_("Reading"), *_share_heads()]


def person_row(compared: Compared, address: str) -> Row:
    """Return the row of a person's quantity; without an address it leads nowhere."""
    return [_named(compared, address), *_share_cells(compared)]


def share_heads() -> Row:
    """Return the heads of a quantity's people."""
    return [_("Name"), *_share_heads()]


def share_row(share: Share, address: str) -> Row:
    """Return the row of a person in a quantity."""
    return [{"text": share.person.name, "url": address}, *_share_cells(share.compared)]


def pair_heads() -> Row:
    """Return the heads of the pairs."""
    heads = [_("Trainee read"), _("The other read"), _("Difference")]
    return [_("Entry"), _("Day"), _("Watched by"), *({"text": head, "number": True} for head in heads), _("Kept")]


def pair_row(row: PairRow, compared: Compared) -> Row:
    """Return the row of one pair, with a link to its entry."""
    read, measure = row.read, measure_of(compared)
    own, other = read.pair
    most = compared.quantity.most
    kept = "–" if most is None else _("yes") if abs(own - other) <= most else _("no")
    return [
        {"text": f"#{read.seq}", "url": reverse("competencies:entry", args=[read.seq])},
        f"{date_format(read.on, 'j M Y')}, {KINDS[read.kind]}",
        row.watcher.name if row.watcher else _("no longer on file"),
        {"number": minus(f"{own}"), "unit": measure.unit},
        {"number": minus(f"{other}"), "unit": measure.unit},
        {"number": minus(f"{own - other:+}"), "unit": measure.unit},
        kept,
    ]


def _share_heads() -> Row:
    return [
        {"text": _("Pairs"), "number": True},
        {"text": _("Mean difference"), "number": True},
        {"text": _("Limits of agreement"), "number": True},
        {"text": _("May differ by"), "number": True},
        {"text": _("Further apart"), "number": True},
        _("What it says"),
    ]


def _share_cells(compared: Compared) -> Row:
    return [_count(compared.found.pairs), *_figures_cells(compared), finding_word(compared)]


def _figures_cells(compared: Compared) -> Row:
    measure, limits = measure_of(compared), compared.found.limits
    span = measure.span(Interval(limits.low, limits.high)) if limits else "–"
    beyond = "–" if compared.quantity.most is None else str(compared.beyond)
    return [
        {"number": measure.signed(compared.found.bias), "unit": measure.unit},
        {"number": span},
        {"number": most_words(compared)},
        {"number": beyond},
    ]


def _named(compared: Compared, address: str) -> dict[str, str]:
    return {"code": compared.quantity.task, "text": capfirst(compared.quantity.name), "url": address}


def _count(count: int) -> dict[str, str]:
    return {"number": str(count)}
