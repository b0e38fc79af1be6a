"""Crown caps seen from the side: there, straight, and pressed home."""

import math
from xml.etree.ElementTree import Element

from assessments.calculations.cautions import GLASS, MACHINE
from assessments.inspection.drawing import GAUGE, GROUND, INK, add, path, ruler, sheet
from assessments.inspection.draws import Draws
from assessments.inspection.frame import Fault, Held, Inspection, Measure, Planned, Sentence, Specimen
from assessments.vocabulary import gettext_noop

MISSING, CROOKED, LOOSE, DEEP = "missing", "crooked", "loose", "deep"

TOLERANCE_MM, TILT_LIMIT_MM, STEP_MM = 0.5, 0.5, 0.1
TILT_STEP_MM = 2 * STEP_MM
SPECIFIED_MM = (5.0, 5.5)
#: The size of a usual crown cork; the drawing depends on it, no limit does.
CAP_WIDTH_MM, CAP_HEIGHT_MM, FINISH_HALF_MM = 29.0, 6.0, 13.0

WIDTH_MM, HEIGHT_MM, RIM_Y, CENTRE_X = 70, 44, 12.0, 35.0


def _specimen(draws: Draws, planned: Planned) -> Specimen:
    specified = draws.pick("specified", SPECIFIED_MM)
    # A loose cap has its skirt nearer to the rim.
    off = -planned.deviation(draws, "skirt", (LOOSE, DEEP), (TOLERANCE_MM, STEP_MM))
    size = draws.size("tilt", planned.zone_of(CROOKED), TILT_LIMIT_MM, TILT_STEP_MM)
    tilt = -size if draws.happens("tilt:right", 0.5) else size
    left, right = round(specified + off + tilt / 2, 1), round(specified + off - tilt / 2, 1)
    is_there = planned.fault != MISSING
    band = {"depth": f"{specified:.1f}", "tolerance": f"{TOLERANCE_MM:.1f}", "tilt": f"{TILT_LIMIT_MM:.1f}"}
    skirt = gettext_noop(
        "Lower edge of the skirt, in the middle, %(depth)s mm ± %(tolerance)s mm below the rim; left and right "
        "differ by %(tilt)s mm at most."
    )
    return Specimen(
        drawing=_drawn(left, right, specified, is_there=is_there),
        specified=(Sentence(skirt, band),),
        measures=_measures(left, right, is_there=is_there),
        held=_held(off, tilt, band, is_there=is_there),
    )


def _measures(left: float, right: float, *, is_there: bool) -> tuple[Measure, ...]:
    if not is_there:
        return (Measure(gettext_noop("Rim of the bottle"), gettext_noop("bare glass")),)
    return (
        Measure(gettext_noop("Skirt, left edge below the rim"), f"{left:.1f}", "mm"),
        Measure(gettext_noop("Skirt, right edge below the rim"), f"{right:.1f}", "mm"),
    )


def _held(off: float, tilt: float, band: dict[str, str], *, is_there: bool) -> tuple[Held, ...]:
    seen = gettext_noop("on the bottle") if is_there else gettext_noop("bare glass")
    there = Held(Measure(gettext_noop("Crown cap"), seen), Sentence(gettext_noop("on the bottle")), is_there, MISSING)
    if not is_there:
        return (there,)
    middle = Measure(gettext_noop("Skirt, middle below the rim"), f"{float(band['depth']) + off:.1f}", "mm")
    differ = Measure(gettext_noop("Skirt, left and right differ by"), f"{abs(tilt):.1f}", "mm")
    return (
        there,
        Held(
            middle,
            Sentence(gettext_noop("%(depth)s mm ± %(tolerance)s mm"), band),
            abs(off) <= TOLERANCE_MM,
            DEEP if off > 0 else LOOSE,
        ),
        Held(differ, Sentence(gettext_noop("%(tilt)s mm at most"), band), abs(tilt) <= TILT_LIMIT_MM, CROOKED),
    )


def _drawn(left: float, right: float, specified: float, *, is_there: bool) -> Element:
    drawing = sheet(WIDTH_MM, HEIGHT_MM)
    neck = [
        (CENTRE_X - 14, HEIGHT_MM),
        (CENTRE_X - 14, RIM_Y + 16),
        (CENTRE_X - FINISH_HALF_MM, RIM_Y + 12),
        (CENTRE_X - FINISH_HALF_MM, RIM_Y),
        (CENTRE_X + FINISH_HALF_MM, RIM_Y),
        (CENTRE_X + FINISH_HALF_MM, RIM_Y + 12),
        (CENTRE_X + 14, RIM_Y + 16),
        (CENTRE_X + 14, HEIGHT_MM),
    ]
    path(drawing, neck, class_=f"{GROUND} {INK}", stroke_width=0.3)
    if is_there:
        _cap(drawing, left, right)
    for side in (-1, 1):
        ruler(drawing, CENTRE_X + side * 20, RIM_Y, 20, on_right=side > 0, down=True)
    y = RIM_Y + specified
    line = [(CENTRE_X - 20, y), (CENTRE_X + 20, y)]
    path(drawing, line, class_=GAUGE, stroke_width=0.08, stroke_dasharray="0.8 0.6")
    return drawing


def _cap(drawing: Element, left: float, right: float) -> None:
    # The skirt hangs lower on the side with the larger depth; a positive angle turns clockwise on the page.
    tilt = math.asin((right - left) / CAP_WIDTH_MM)
    centre_x = CENTRE_X + CAP_HEIGHT_MM / 2 * math.sin(tilt)
    centre_y = RIM_Y + (left + right) / 2 - CAP_HEIGHT_MM / 2 * math.cos(tilt)
    turned = f"rotate({math.degrees(tilt):.6f} {centre_x:.6f} {centre_y:.6f})"
    cap = add(drawing, "g", id="drawn-cap", transform=turned)
    x, y = centre_x - CAP_WIDTH_MM / 2, centre_y - CAP_HEIGHT_MM / 2
    add(
        cap,
        "rect",
        x=f"{x:.6f}",
        y=f"{y:.6f}",
        width=CAP_WIDTH_MM,
        height=CAP_HEIGHT_MM,
        rx=0.3,
        fill="#b9c2c6",
        stroke="#2c3639",
        stroke_width=0.2,
    )
    flutes = "".join(f"M{x + step * CAP_WIDTH_MM / 10:.3f} {y + 1.5:.3f}v4" for step in range(1, 10))
    add(cap, "path", d=flutes, stroke="#2c3639", stroke_width=0.25)


CROWN = Inspection(
    code="crown",
    title=gettext_noop("Crown caps"),
    asks=gettext_noop("Is the cap on, straight, and pressed home?"),
    faults=(
        Fault(
            MISSING,
            gettext_noop("no cap on it"),
            gettext_noop("Look at the rim first: bare glass is seen at once."),
            is_graded=False,
        ),
        Fault(
            CROOKED,
            gettext_noop("the cap is crooked"),
            gettext_noop("Read the skirt on both sides; it is their difference that counts."),
        ),
        Fault(
            LOOSE,
            gettext_noop("the cap is not pressed home"),
            gettext_noop("The skirt ends too close to the rim: gas gets out there."),
        ),
        Fault(
            DEEP,
            gettext_noop("the cap is pressed too far"),
            gettext_noop("The skirt ends too far below the rim: too hard a crimp can chip the glass."),
        ),
    ),
    sources=("GEOMETRY", "PRACTICE", "PLANT"),
    cautions=(GLASS, MACHINE),
    makes=_specimen,
)
