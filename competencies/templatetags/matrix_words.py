"""The marks of the matrix for the wall, in words that stand in a cell."""

from collections.abc import Sequence
from typing import Final, TypeVar

from django import template
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

register = template.Library()

Thing = TypeVar("Thing")
MARKS: Final[dict[str, Promise]] = {
    "counts": _("COUNTS"),
    "due": _("DUE"),
    "training": _("training"),
    "restricted": _("not yet"),
    "out": _("out"),
}


@register.filter
def mark_word(mark: str) -> Promise:
    """Return the word of a mark."""
    return MARKS[mark]


@register.filter
def at(things: Sequence[Thing], place: int) -> Thing:
    """Return what stands at a place."""
    return things[place]
