"""Sheets of paper in words."""

from django import template

from competencies.vocabulary import SheetKind
from competencies.wording.sheets import SHEETS

register = template.Library()


@register.filter
def sheet_name(kind: str) -> str:
    """Return what a kind of sheet is called; a kind of an older version by its code."""
    return str(SHEETS[SheetKind(kind)]) if kind in set(SheetKind) else kind
