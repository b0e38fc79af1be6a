"""Worksheets for the tests, made through the operation."""

from django.utils import timezone

from assessments.calculations import calculation
from assessments.operations.worksheets import WorksheetChoice, make_worksheet

KINDS = ("C03-strike", "C05-pressure", "C15-check_digit", "C02-iodine")


def worksheet_for(maker, *, people=(), kinds=KINDS, problems=4, seed=7, own_figures=True):
    """Return a worksheet with a copy for each person."""
    choice = WorksheetChoice(
        title="Sums of the week",
        kinds=[calculation(code) for code in kinds],
        problems=problems,
        people=people,
        own_figures=own_figures,
    )
    return make_worksheet(plant=maker.plant, choice=choice, seed=seed, by=maker, now=timezone.now())
