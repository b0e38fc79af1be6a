"""The cells of the matrix as text made beforehand: a page has thousands, and each is put together of four pieces."""

from collections.abc import Collection, Iterable, Mapping
from functools import cache

from django.urls import reverse
from django.utils.html import format_html
from django.utils.http import urlencode
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from competencies.models import Task
from competencies.queries.matrix import EMPTY, Cell, Cells
from competencies.vocabulary import Standing
from competencies.wording import STANDING_SIGNS, STANDINGS


class Pen:
    """Draws cells in the language of now; every cell leads to its explanation at the same clocks."""

    def __init__(
        self, tasks: Iterable[Task], clocks: Mapping[str, str], differing: Collection[tuple[int, int]]
    ) -> None:
        """Make what each task's cells share. `differing` are the cells of which two things are said."""
        anybody = reverse("competencies:person", args=[0])
        self._tasks = [(task.pk, _part_of_task(task, anybody)) for task in tasks]
        self._clocks = clocks
        self._differing = differing
        self._ends = cache(self._end)
        self._pieces = cache(_pieces)

    def row(self, number: int, start: str, cells: Cells) -> SafeString:
        """Return the cells of the person of that number, one a task; `start` is the address of the person's page."""
        drawn = []
        for task, part in self._tasks:
            key = (number, task)
            cell = cells.get(key, EMPTY)
            opening, closing = self._pieces(
                cell.standing, cell.counts, cell.counting, cell.places, key in self._differing
            )
            drawn.append(f"{opening}{start}{part}{self._ends(cell.scope)}{closing}")
        return mark_safe("".join(drawn))  # noqa: S308 - every piece is escaped where it is made

    def _end(self, scope: str) -> str:
        asked = {**self._clocks, **({"scope": scope} if scope else {})}
        return format_html("?{}", urlencode(asked)) if asked else ""


def _part_of_task(task: Task, anybody: str) -> str:
    """Return what the address of an explanation adds to that of a person."""
    whole = reverse("competencies:person-task", args=[0, task.code])
    return format_html("{}", whole.removeprefix(anybody))


def _pieces(standing: str, counts: bool, counting: int, places: int, differs: bool) -> tuple[str, str]:  # noqa: FBT001 - cached by its values
    """Return what stands before and after the address in a cell."""
    cell = Cell(standing, counts, "", counting, places)
    sign = STANDING_SIGNS[Standing(standing)]
    classes = "cell" if cell == EMPTY else f"cell standing-{standing}"
    shape = format_html(
        '<svg class="shape" aria-hidden="true" focusable="false"><use href="#shape-{}"/></svg>', standing
    )
    more = f"{counting}/{places}" if places > 1 else ""
    mark = ("×" if is_barred(cell) else "") + ("≠" if differs else "")
    opening = format_html('<td class="{}"><a href="', classes + (" cell-differs" if differs else ""))
    closing = format_html(
        '" aria-label="{}">{}{}{}</a></td>',
        cell_words(cell, differs=differs),
        "" if cell == EMPTY else shape,
        f"{sign}{mark}",
        format_html("<small>{}</small>", more) if more else "",
    )
    return opening, closing


def is_barred(cell: Cell) -> bool:
    """Whether a sign-off holds at the place shown and does not count there, as for age."""
    return Standing(cell.standing).is_in_force and not cell.counts


def cell_words(cell: Cell, *, differs: bool = False) -> str:
    """Return what a cell says in words."""
    words = [str(STANDINGS[Standing(cell.standing)])]
    if is_barred(cell):
        words.append(_("does not count"))
    if cell.places > 1:
        words.append(_("counts at %(counting)s of %(places)s places") % cell._asdict())
    if differs:
        words.append(_("something else was said then"))
    return ", ".join(words)
