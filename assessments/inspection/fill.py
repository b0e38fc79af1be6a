"""How full a bottle is: the height of the liquid in the neck, read under the foam."""

from xml.etree.ElementTree import Element

from assessments.calculations.cautions import GLASS, MACHINE
from assessments.inspection.drawing import GAUGE, GROUND, INK, add, mm, path, ruler, sheet
from assessments.inspection.draws import Draws
from assessments.inspection.frame import Fault, Held, Inspection, Measure, Planned, Sentence, Specimen
from assessments.vocabulary import gettext_noop

OVER, UNDER = "over", "under"

TOLERANCE_MM, STEP_MM = 3.0, 0.1
SPECIFIED_MM = (48, 52, 55, 58)
FOAM_MM = (1.0, 9.0)

WIDTH_MM, HEIGHT_MM, RIM_Y, CENTRE_X = 110, 112, 8.0, 55.0
#: Bore at depths below the rim [mm]: the neck widens slowly, then into the shoulder.
BORE = ((0.0, 10.0), (40.0, 12.0), (72.0, 14.5), (90.0, 20.0), (102.0, 27.0))
GLASS_MM = 2.5


def _specimen(draws: Draws, planned: Planned) -> Specimen:
    specified = draws.pick("specified", SPECIFIED_MM)
    # A fuller bottle has its liquid nearer to the rim.
    off = -planned.deviation(draws, "level", (OVER, UNDER), (TOLERANCE_MM, STEP_MM))
    depth = round(specified + off, 1)
    foam = round(depth - draws.steps("foam", *FOAM_MM, STEP_MM), 1)
    band = {"depth": f"{specified:.1f}", "tolerance": f"{TOLERANCE_MM:.1f}"}
    liquid = Measure(gettext_noop("Liquid under the foam, below the rim"), f"{depth:.1f}", "mm")
    return Specimen(
        drawing=_drawn(depth, foam, specified),
        specified=(
            Sentence(gettext_noop("Liquid %(depth)s mm ± %(tolerance)s mm below the rim. Foam does not count."), band),
        ),
        measures=(liquid, Measure(gettext_noop("Top of the foam, below the rim"), f"{foam:.1f}", "mm")),
        held=(
            Held(
                liquid,
                Sentence(gettext_noop("%(depth)s mm ± %(tolerance)s mm"), band),
                abs(off) <= TOLERANCE_MM,
                UNDER if off > 0 else OVER,
            ),
        ),
    )


def _drawn(depth: float, foam: float, specified: int) -> Element:
    drawing = sheet(WIDTH_MM, HEIGHT_MM)
    clip = add(drawing, "clipPath", id="drawn-bore")
    add(clip, "path", d=_wall(0.0))
    add(drawing, "path", d=_wall(GLASS_MM), class_=f"{GROUND} {INK}", stroke_width=0.5)
    inside = add(drawing, "g", clip_path="url(#drawn-bore)")
    foot = BORE[-1][0]
    add(inside, "rect", id="drawn-foam", x=0, y=RIM_Y + foam, width=WIDTH_MM, height=depth - foam, fill="#f7ecd0")
    add(inside, "rect", id="drawn-liquid", x=0, y=RIM_Y + depth, width=WIDTH_MM, height=foot - depth, fill="#c9872a")
    add(drawing, "path", d=_wall(0.0), fill="none", class_=INK, stroke_width=0.25)
    for x, on_right in ((CENTRE_X - 36, False), (CENTRE_X + 36, True)):
        ruler(drawing, x, RIM_Y, 100, on_right=on_right, down=True)
    for off, dashes in ((-TOLERANCE_MM, "1 1"), (0.0, "4 1.5"), (TOLERANCE_MM, "1 1")):
        line = [(CENTRE_X - 36, RIM_Y + specified + off), (CENTRE_X - 16, RIM_Y + specified + off)]
        path(drawing, line, class_=GAUGE, stroke_width=0.25, stroke_dasharray=dashes)
    return drawing


def _wall(thickness: float) -> str:
    """Return the outline of the neck, widened by the glass."""
    left = [(CENTRE_X - half - thickness, RIM_Y + depth) for depth, half in BORE]
    right = [(CENTRE_X + half + thickness, RIM_Y + depth) for depth, half in reversed(BORE)]
    points = [f"{mm(x)} {mm(y)}" for x, y in (*left, *right)]
    return f"M{points[0]}" + "".join(f"L{point}" for point in points[1:]) + "Z"


FILL = Inspection(
    code="fill",
    title=gettext_noop("Fill height"),
    asks=gettext_noop("Is the bottle full enough, and not too full?"),
    faults=(
        Fault(
            UNDER,
            gettext_noop("too little in it"),
            gettext_noop("Read the line under the foam: foam makes a short fill look right."),
        ),
        Fault(
            OVER,
            gettext_noop("too much in it"),
            gettext_noop("Too full is a fault too: a warm bottle without room above the liquid can burst."),
        ),
    ),
    sources=("PRACTICE", "PLANT"),
    cautions=(GLASS, MACHINE),
    makes=_specimen,
)
