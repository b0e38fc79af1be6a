"""A procedure as typed text: what is judged, readings, hazards and protective equipment, a line each."""

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from competencies.importing.fields import NUMBER
from competencies.importing.syllabus import CriterionRow, ReadingRow

MOST_LINES: Final = 60
LONGEST: Final = 300
LONGEST_THING: Final = 200
COLUMNS: Final = ("name", "unit", "target", "low", "high", "paired_tolerance", "source")
LONGEST_OF: Final = {"name": 120, "unit": 40, "target": 80, "source": 20}


def lines_of(text: str) -> list[str]:
    """Return the lines that say something, blanks counted as one. Raises ValidationError for too many."""
    found = [" ".join(line.split()) for line in text.splitlines() if line.strip()]
    if len(found) > MOST_LINES:
        raise ValidationError(
            _("That is %(count)s lines; at most %(most)s.") % {"count": len(found), "most": MOST_LINES}
        )
    return found


def things(text: str) -> tuple[str, ...]:
    """Return hazards or protective equipment, a line each. Raises ValidationError for a line that is too long."""
    found = lines_of(text)
    _refuse_long(found, LONGEST_THING)
    return tuple(found)


def criteria(text: str) -> tuple[CriterionRow, ...]:
    """Return the criteria, a line each with its weight in brackets behind it. Raises ValidationError."""
    found = [_criterion(line) for line in lines_of(text)]
    _refuse_long([row.text for row in found], LONGEST)
    for number, row in enumerate(found, start=1):
        if not row.text:
            raise ValidationError(_("Line %(number)s says nothing to be judged.") % {"number": number})
    return tuple(found)


def criterion_text(row: CriterionRow) -> str:
    """Return a criterion as it is typed and shown: its weight stands behind it, so that a new weight is a new word."""
    notes = [
        *([_("(one miss decides)")] if row.is_critical else []),
        *([_("(differs by machine)")] if row.is_scope_specific else []),
    ]
    return " ".join([row.text, *notes])


def _criterion(line: str) -> CriterionRow:
    decides, differs = _("(one miss decides)"), _("(differs by machine)")
    text = line
    for mark in (decides, differs):
        text = text.replace(mark, " ")
    return CriterionRow(text=" ".join(text.split()), is_critical=decides in line, is_scope_specific=differs in line)


def _refuse_long(lines: Iterable[str], longest: int) -> None:
    for number, line in enumerate(lines, start=1):
        if len(line) > longest:
            message = _("Line %(number)s is longer than %(longest)s characters.")
            raise ValidationError(message % {"number": number, "longest": longest})


def reading_text(row: ReadingRow) -> str:
    """Return a reading as it is typed: name | unit | target | low | high | apart at most | source."""
    target = _amount(row.target) if row.target is not None else row.target_text
    cells = (row.name, row.unit, target, *map(_amount, (row.low, row.high, row.paired_tolerance)), row.source)
    return " | ".join(cells).rstrip("| ").rstrip()


def _amount(value: Decimal | None) -> str:
    return "" if value is None else f"{value.normalize():f}"


def readings(text: str) -> tuple[ReadingRow, ...]:
    """Return the readings, a line each. Raises ValidationError that names the line."""
    found = [_reading(number, line) for number, line in enumerate(lines_of(text), start=1)]
    names = [row.name.casefold() for row in found]
    for number, name in enumerate(names, start=1):
        if name in names[: number - 1]:
            raise _fault(number, _("that reading stands there already"))
    return tuple(found)


def _reading(number: int, line: str) -> ReadingRow:
    cells = [cell.strip() for cell in line.split("|")]
    if len(cells) > len(COLUMNS):
        raise _fault(number, _("there are more than %(most)s parts") % {"most": len(COLUMNS)})
    given = dict(zip(COLUMNS, [*cells, *[""] * (len(COLUMNS) - len(cells))], strict=True))
    for name, longest in LONGEST_OF.items():
        if len(given[name]) > longest:
            raise _fault(number, _("“%(text)s…” is too long") % {"text": given[name][:20]})
    target = given["target"].replace(",", ".")
    is_number = bool(NUMBER.fullmatch(target))
    row = ReadingRow(
        name=given["name"],
        unit=given["unit"],
        target=Decimal(target) if is_number else None,
        target_text="" if is_number else given["target"],
        low=_number(number, given["low"]),
        high=_number(number, given["high"]),
        paired_tolerance=_number(number, given["paired_tolerance"]),
        source=given["source"],
    )
    if fault := _reading_fault(row):
        raise _fault(number, fault)
    return row


def _number(number: int, text: str) -> Decimal | None:
    plain = text.replace(",", ".")
    if not plain:
        return None
    if not NUMBER.fullmatch(plain):
        raise _fault(number, _("“%(text)s” is not a number") % {"text": re.sub(r"\s+", " ", text)[:20]})
    return Decimal(plain)


def _reading_fault(row: ReadingRow) -> str:
    low, high, target = row.low, row.high, row.target
    if not row.name:
        return _("the name is missing")
    if low is None and high is None and target is None and not row.target_text:
        return _("a target or a limit is missing")
    if low is not None and high is not None and low > high:
        return _("the low limit is above the high one")
    if target is not None and ((low is not None and target < low) or (high is not None and target > high)):
        return _("the target lies outside the limits")
    return _more_faults(row)


def _more_faults(row: ReadingRow) -> str:
    if row.target_text and (row.low is not None or row.high is not None):
        return _("a target in words cannot have limits in numbers")
    if row.paired_tolerance is not None and row.paired_tolerance <= 0:
        return _("what the two may lie apart must be more than 0")
    return ""


def _fault(number: int, text: str) -> ValidationError:
    return ValidationError(_("Line %(number)s: %(fault)s.") % {"number": number, "fault": text})
