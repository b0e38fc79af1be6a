"""What reads differently in two records of one person, in words."""

from collections.abc import Iterable
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.printing.words import day
from competencies.queries.records.parts import Difference, PathwayLine, RunLine, TaskLine, UnitLine
from competencies.standing.timeline import Period
from competencies.wording import STANDINGS

NAMES = {
    "task": lambda: _("Standing"),
    "run": lambda: _("Supervised run"),
    "check": lambda: _("Calculation check"),
    "attempt": lambda: _("Assessment without a sign-off"),
    "event": lambda: _("Decision"),
    "correction": lambda: _("Correction"),
    "pathway": lambda: _("Pathway"),
    "unit": lambda: _("Unit standard"),
}


def change_rows(found: Iterable[Difference]) -> list[dict[str, Any]]:
    """Return a row for each line that differs: what it is, how it read, how it reads."""
    return [
        {
            "what": NAMES[each.kind](),
            "name": each.name.replace("@", ", ") if each.kind in {"task", "pathway", "unit"} else f"#{each.name}",
            "before": reading(each.before),
            "after": reading(each.after),
        }
        for each in found
    ]


def reading(line: object | None) -> str:
    """Return how a line reads, in a few words."""
    if line is None:
        return _("not there")
    if isinstance(line, TaskLine | Period):
        period = line.period if isinstance(line, TaskLine) else line
        word = capfirst(str(STANDINGS[period.standing]))
        last = period.last_valid_on
        return f"{word}, {_('until')} {day(last)}" if last else word
    if isinstance(line, RunLine):
        return _("does not count") if line.reasons else _("counts")
    if isinstance(line, UnitLine):
        return _unit(line)
    if isinstance(line, PathwayLine):
        return _("%(total)s credits counted") % {"total": line.total}
    return _("there")


def _unit(line: UnitLine) -> str:
    """Return what counts of a unit, and whether a moderator is to look at it or disputes it."""
    words = _("%(counted)s credits counted") % {"counted": line.counted}
    if line.is_disputed:
        words += ", " + _("disputed")
    if line.flags:
        words += ", " + _("flagged to the moderator")
    return words
