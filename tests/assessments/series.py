"""Series of drawings for the tests, begun and answered through the operations."""

from django.utils import timezone

from assessments.inspection import INSPECTIONS, item_of, seed_of
from assessments.operations.answering import SEED_BELOW
from assessments.operations.inspection import Judged, answer_item, start_series

SEED = 2024


def series_for(person, kind="fill", *, length=10, close_percent=50, seed=SEED):
    """Return an open series of a kind, nothing answered."""
    return start_series(
        person=person,
        kind=INSPECTIONS[kind],
        length=length,
        close_percent=close_percent,
        seed=seed,
        now=timezone.now(),
    )


def item_in(series, number):
    """Return the drawing that stands at a number of a series."""
    seed = seed_of(series.seed, number, below=SEED_BELOW)
    return item_of(INSPECTIONS[series.kind], seed, close_share=series.close_percent / 100)


def right(item):
    """Return the right answer."""
    return Judged(rejected=item.fault is not None, named=item.fault.code if item.fault else "", seconds=9)


def accept(item):
    """Return the answer of somebody who lets everything through."""
    return Judged(rejected=False)


def judge(series, says=right, *, numbers=None):
    """Answer drawings of a series, all of them unless told."""
    for number in range(1, series.length + 1) if numbers is None else numbers:
        item = item_in(series, number)
        answer_item(series=series, number=number, item=item, judged=says(item), now=timezone.now())
    series.refresh_from_db()
    return series
