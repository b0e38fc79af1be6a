"""The code on a label: printed, readable, in its field, with the right date and line."""

from dataclasses import dataclass
from datetime import date, timedelta
from xml.etree.ElementTree import Element

from assessments.calculations.cautions import GLASS, MACHINE
from assessments.formulas.date_codes import best_before
from assessments.inspection.dots import ROWS, dots_of, width_of
from assessments.inspection.drawing import PRINT, add, mm, sheet, text
from assessments.inspection.draws import Draws, Zone
from assessments.inspection.frame import Fault, Held, Inspection, Measure, Planned, Sentence, Specimen
from assessments.vocabulary import gettext_noop

MISSING, FAINT, OUTSIDE, WRONG_DATE, WRONG_LINE = "missing", "unreadable", "misplaced", "wrong_date", "wrong_line"

#: One blocked nozzle leaves every figure told from every other; with three, 3 can print like 5 and 0 like 8. The
#: plant stops one row earlier.
MOST_MISSING_ROWS = 1
MISSING_ROWS = {Zone.WELL_WITHIN: 0, Zone.JUST_WITHIN: 1, Zone.JUST_OUTSIDE: 2, Zone.WELL_OUTSIDE: 3}

PITCH_MM, LINE_GAP_MM, STEP_MM = 0.5, 1.5, 0.1
FIELD_X, FIELD_Y, FIELD_WIDTH_MM, FIELD_HEIGHT_MM = 24.0, 14.0, 40.0, 15.0
WIDTH_MM, HEIGHT_MM = 88, 44
#: How far the code keeps from the edge of its field at the worst place [mm]; below nought it stands outside.
MARGINS = {
    Zone.WELL_WITHIN: (1.4, 2.4),
    Zone.JUST_WITHIN: (0.3, 0.6),
    Zone.JUST_OUTSIDE: (-0.7, -0.3),
    Zone.WELL_OUTSIDE: (-5.0, -2.0),
}

MONTHS = ("JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC")
FIRST_DAY, DAYS = date(2026, 1, 1), 730
SHELF_LIVES = (6, 9, 12)
LINES = (1, 2, 3)


@dataclass(frozen=True, slots=True)
class Printed:
    """A code as it was printed: its two lines, what is blocked, and where its top left dot stands on the label."""

    lines: tuple[str, str]
    missing_rows: frozenset[int]
    x: float
    y: float
    is_there: bool

    @property
    def margins(self) -> dict[str, float]:
        """Return how far the code keeps from each edge of the field [mm]; below nought it stands outside."""
        right = self.x + max(width_of(line) for line in self.lines) * PITCH_MM
        bottom = self.y + (2 * ROWS * PITCH_MM + LINE_GAP_MM)
        return {
            gettext_noop("left"): round(self.x - FIELD_X, 1),
            gettext_noop("right"): round(FIELD_X + FIELD_WIDTH_MM - right, 1),
            gettext_noop("top"): round(self.y - FIELD_Y, 1),
            gettext_noop("bottom"): round(FIELD_Y + FIELD_HEIGHT_MM - bottom, 1),
        }


def _specimen(draws: Draws, planned: Planned) -> Specimen:
    packed = FIRST_DAY + timedelta(days=draws.below("packed", DAYS))
    months, line = draws.pick("months", SHELF_LIVES), draws.pick("line", LINES)
    due = best_before(packed, months)
    stated = _wrong_date(due, draws, planned) if planned.fault == WRONG_DATE else due
    coded = draws.pick("other", [each for each in LINES if each != line]) if planned.fault == WRONG_LINE else line
    lines = (_as_printed(stated), f"L{coded} {draws.whole('hour', 6, 21):02}:{draws.below('minute', 60):02}")
    x, y = _placed(lines, draws, planned)
    rows = frozenset(_blocked(draws, MISSING_ROWS[planned.zone_of(FAINT)]))
    printed = Printed(lines, rows, x, y, planned.fault != MISSING)
    return Specimen(
        drawing=_drawn(printed),
        specified=_specified(packed, months, line),
        measures=_measures(printed),
        held=_held(printed, due, line),
    )


def _wrong_date(due: date, draws: Draws, planned: Planned) -> date:
    """Return another date: near is a day or two off, far a month or a year."""
    if planned.is_close:
        return due + timedelta(days=draws.pick("days off", (-2, -1, 1, 2)))
    months = draws.pick("months off", (1, 2, 12))
    return best_before(due, months)


def _as_printed(day: date) -> str:
    return f"{day.day:02} {MONTHS[day.month - 1]} {day.year}"


def _blocked(draws: Draws, count: int) -> list[int]:
    first = draws.whole("blocked", 0, ROWS - count) if count else 0
    return [first + index for index in range(count)]


def _placed(lines: tuple[str, str], draws: Draws, planned: Planned) -> tuple[float, float]:
    """Return where the code stands: near one edge of the field, or over it, and well clear of the others."""
    least, most = MARGINS[planned.zone_of(OUTSIDE)]
    margin = draws.steps("margin", least, most, STEP_MM)
    slack_x = FIELD_WIDTH_MM - max(width_of(line) for line in lines) * PITCH_MM
    slack_y = FIELD_HEIGHT_MM - (2 * ROWS * PITCH_MM + LINE_GAP_MM)
    edge = draws.pick("edge", ("left", "right", "top", "bottom"))
    along = {"left": margin, "right": slack_x - margin}.get(edge, slack_x / 2)
    down = {"top": margin, "bottom": slack_y - margin}.get(edge, slack_y / 2)
    return round(FIELD_X + along, 1), round(FIELD_Y + down, 1)


def _specified(packed: date, months: int, line: int) -> tuple[Sentence, ...]:
    return (
        Sentence(
            gettext_noop("Packed on %(day)s on line %(line)s. Shelf life %(months)s months: work out the date."),
            {"day": _as_printed(packed), "line": str(line), "months": str(months)},
        ),
        Sentence(gettext_noop("The whole code stands inside the printed field.")),
        Sentence(
            gettext_noop("At most %(rows)s of the 7 rows of dots may be missing."), {"rows": str(MOST_MISSING_ROWS)}
        ),
    )


def _measures(printed: Printed) -> tuple[Measure, ...]:
    if not printed.is_there:
        return (Measure(gettext_noop("Code in the field"), gettext_noop("nothing printed")),)
    return (
        Measure(gettext_noop("First line, as printed"), printed.lines[0]),
        Measure(gettext_noop("Second line, as printed"), printed.lines[1]),
        Measure(gettext_noop("Rows of dots missing, of 7"), str(len(printed.missing_rows))),
        *(
            Measure(
                gettext_noop("Code inside the %(edge)s edge of its field by"), f"{margin:.1f}", "mm", {"edge": edge}
            )
            for edge, margin in printed.margins.items()
        ),
    )


def _held(printed: Printed, due: date, line: int) -> tuple[Held, ...]:
    seen = gettext_noop("printed") if printed.is_there else gettext_noop("nothing printed")
    there = Held(Measure(gettext_noop("Code"), seen), Sentence(gettext_noop("printed")), printed.is_there, MISSING)
    if not printed.is_there:
        return (there,)
    missing, margin = len(printed.missing_rows), min(printed.margins.values())
    right_date, right_line = _as_printed(due), f"L{line}"
    coded = printed.lines[1].split()[0]
    return (
        there,
        Held(
            Measure(gettext_noop("Rows of dots missing"), str(missing)),
            Sentence(gettext_noop("%(most)s at most"), {"most": str(MOST_MISSING_ROWS)}),
            missing <= MOST_MISSING_ROWS,
            FAINT,
        ),
        Held(
            Measure(gettext_noop("Code inside its field by"), f"{margin:.1f}", "mm"),
            Sentence(gettext_noop("0.0 mm or more")),
            margin >= 0,
            OUTSIDE,
        ),
        Held(
            Measure(gettext_noop("Date"), printed.lines[0]),
            Sentence(gettext_noop("%(date)s"), {"date": right_date}),
            printed.lines[0] == right_date,
            WRONG_DATE,
        ),
        Held(
            Measure(gettext_noop("Line"), coded),
            Sentence(gettext_noop("%(line)s"), {"line": right_line}),
            coded == right_line,
            WRONG_LINE,
        ),
    )


def _drawn(printed: Printed) -> Element:
    drawing = sheet(WIDTH_MM, HEIGHT_MM)
    add(
        drawing,
        "rect",
        x=1,
        y=1,
        width=WIDTH_MM - 2,
        height=HEIGHT_MM - 2,
        rx=2,
        fill="#fbf6e6",
        stroke="#3a2c14",
        stroke_width=0.4,
    )
    text(drawing, FIELD_X, 10, gettext_noop("Best before:"), font_size=4.2, fill=PRINT)
    add(
        drawing,
        "rect",
        id="drawn-field",
        x=FIELD_X,
        y=FIELD_Y,
        width=FIELD_WIDTH_MM,
        height=FIELD_HEIGHT_MM,
        fill="none",
        stroke="#6b5a38",
        stroke_width=0.15,
    )
    _scale(drawing)
    if printed.is_there:
        for row, words in enumerate(printed.lines):
            top = printed.y + row * (ROWS * PITCH_MM + LINE_GAP_MM)
            _print(drawing, words, printed.x, top, printed.missing_rows)
    return drawing


def _print(drawing: Element, words: str, x: float, y: float, missing_rows: frozenset[int]) -> None:
    """Print a line of dots; the outermost dots touch the box of the line."""
    half = PITCH_MM / 2
    spots = (
        f"M{mm(x + column * PITCH_MM + half)} {mm(y + row * PITCH_MM + half)}h0"
        for column, row in dots_of(words, missing_rows=missing_rows)
    )
    add(
        drawing,
        "path",
        d="".join(spots),
        stroke="#16120c",
        stroke_width=PITCH_MM,
        stroke_linecap="round",
        fill="none",
        class_="drawn-code",
    )


def _scale(drawing: Element) -> None:
    """Draw ten millimetres to measure with."""
    strokes = "".join(f"M{FIELD_X + each} {38 if each % 5 else 37}V40" for each in range(11))
    add(drawing, "path", d=f"M{FIELD_X} 40h10{strokes}", stroke="#3a2c14", stroke_width=0.15, fill="none")
    text(drawing, FIELD_X + 12, 40, "10 mm", font_size=3, fill=PRINT)


DATE_CODE = Inspection(
    code="date_code",
    title=gettext_noop("Date codes"),
    asks=gettext_noop("Is the code there, readable, in its field, and right for the day and the line?"),
    faults=(
        Fault(
            MISSING,
            gettext_noop("no code"),
            gettext_noop("Look for print before you read it. After a stop the coder often starts late."),
            is_graded=False,
        ),
        Fault(
            FAINT,
            gettext_noop("the code cannot be read"),
            gettext_noop("Count the rows of dots. With some missing, 3 can print like 5 and 0 like 8."),
        ),
        Fault(
            OUTSIDE,
            gettext_noop("the code is outside its field"),
            gettext_noop("Follow all four edges of the field, and look for a dot that touches one."),
        ),
        Fault(
            WRONG_DATE,
            gettext_noop("the date is wrong"),
            gettext_noop("Work the date out from the day of packing before you read the print; then compare."),
        ),
        Fault(
            WRONG_LINE,
            gettext_noop("the line is wrong"),
            gettext_noop("The figure after the L is the line. A code set on another machine comes with it."),
            is_graded=False,
        ),
    ),
    sources=("REG-1169", "PRACTICE", "PLANT"),
    cautions=(GLASS, MACHINE),
    makes=_specimen,
)
