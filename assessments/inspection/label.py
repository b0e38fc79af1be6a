"""Labels on a bottle: there, the right way up, straight, and at the height of the drawing."""

import math
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from assessments.calculations.cautions import GLASS, MACHINE
from assessments.formulas.placement import label_deviation_mm, label_skew_mm
from assessments.inspection.drawing import GAUGE, GROUND, INK, PRINT, add, mm, path, ruler, sheet, text
from assessments.inspection.draws import Draws
from assessments.inspection.frame import Fault, Held, Inspection, Measure, Planned, Sentence, Specimen
from assessments.vocabulary import gettext_noop

MISSING, TURNED, HIGH, LOW, CROOKED = "missing", "turned", "too_high", "too_low", "crooked"

HEIGHT_TOLERANCE_MM, SKEW_LIMIT_MM, STEP_MM = 1.0, 1.0, 0.1
#: A skew moves each corner by half of itself: in steps of two, both corners stay on the tenth of a millimetre.
SKEW_STEP_MM = 2 * STEP_MM

WIDTH_MM, HEIGHT_MM, BASE_Y = 208, 246, 240
BODY_HALF_MM, NECK_HALF_MM, SHOULDER_MM, NECK_FROM_MM, RIM_MM = 30.5, 14.0, 128.0, 178.0, 229.0
FRONT_X, BACK_X = 54.0, 156.0
#: Heights of the handles that bend the shoulder into the neck; they shape the outline, and nothing is measured there.
SHOULDER_HANDLES_MM = (152.0, 156.0)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a label belongs: the width and height of its paper, and where its lower edge may be specified."""

    code: str
    name: str
    centre_x: float
    paper: tuple[float, float]
    heights: tuple[int, ...]


PLACES = (
    Place("front", gettext_noop("Front label"), FRONT_X, (52.0, 72.0), (32, 35, 38)),
    Place("neck", gettext_noop("Neck label"), FRONT_X, (25.0, 24.0), (184, 187, 190)),
    Place("back", gettext_noop("Back label"), BACK_X, (48.0, 60.0), (34, 37, 40)),
)


@dataclass(frozen=True, slots=True)
class Stuck:
    """A label as it was stuck on: heights of its lower corners above the base, and how far its writing is turned."""

    place: Place
    specified: int
    left: float
    right: float
    turned: int
    is_there: bool

    @property
    def angle_deg(self) -> float:
        """Return the angle of the lower edge [deg], clockwise on the page when the right corner hangs lower."""
        return math.degrees(math.asin((self.left - self.right) / self.place.paper[0]))


def _specimen(draws: Draws, planned: Planned) -> Specimen:
    critical = draws.pick("place", PLACES)
    quiet = Planned("", planned.zone)
    labels = [_stuck(place, draws, planned if place is critical else quiet) for place in PLACES]
    return Specimen(
        drawing=_drawn(labels),
        specified=tuple(_specified(label) for label in labels),
        measures=tuple(measure for label in labels for measure in _measures(label)),
        held=tuple(held for label in labels for held in _held(label)),
    )


def _stuck(place: Place, draws: Draws, planned: Planned) -> Stuck:
    name, specified = place.code, draws.pick(f"{place.code}:specified", place.heights)
    middle = planned.deviation(draws, f"{name}:height", (HIGH, LOW), (HEIGHT_TOLERANCE_MM, STEP_MM))
    size = draws.size(f"{name}:skew", planned.zone_of(CROOKED), SKEW_LIMIT_MM, SKEW_STEP_MM)
    skew = -size if draws.happens(f"{name}:skew:right", 0.5) else size
    return Stuck(
        place=place,
        specified=specified,
        left=round(specified + middle + skew / 2, 1),
        right=round(specified + middle - skew / 2, 1),
        turned=180 if planned.fault == TURNED else 0,
        is_there=planned.fault != MISSING,
    )


def _specified(label: Stuck) -> Sentence:
    return Sentence(
        gettext_noop(
            "%(place)s: middle of the lower edge %(height)s mm ± %(tolerance)s mm above the base; left and right "
            "corner differ by %(skew)s mm at most."
        ),
        {
            "place": label.place.name,
            "height": f"{label.specified:.1f}",
            "tolerance": f"{HEIGHT_TOLERANCE_MM:.1f}",
            "skew": f"{SKEW_LIMIT_MM:.1f}",
        },
    )


def _measures(label: Stuck) -> list[Measure]:
    place = {"place": label.place.name}
    if not label.is_there:
        return [Measure(gettext_noop("%(place)s"), gettext_noop("bare glass"), params=place)]
    return [
        Measure(gettext_noop("%(place)s, lower left corner above the base"), f"{label.left:.1f}", "mm", place),
        Measure(gettext_noop("%(place)s, lower right corner above the base"), f"{label.right:.1f}", "mm", place),
        Measure(gettext_noop("%(place)s, writing turned by"), str(label.turned), "°", place),
    ]


def _held(label: Stuck) -> list[Held]:
    place = {"place": label.place.name}
    there = Measure(
        gettext_noop("%(place)s"),
        gettext_noop("on the bottle") if label.is_there else gettext_noop("bare glass"),
        params=place,
    )
    held = [Held(there, Sentence(gettext_noop("on the bottle")), label.is_there, MISSING)]
    if not label.is_there:
        return held
    off = label_deviation_mm(label.left, label.right, label.specified)
    skew = label_skew_mm(label.left, label.right)
    turned = Measure(gettext_noop("%(place)s, writing turned by"), str(label.turned), "°", place)
    height = Measure(gettext_noop("%(place)s, middle of the lower edge"), f"{label.specified + off:.2f}", "mm", place)
    corners = Measure(gettext_noop("%(place)s, left and right differ by"), f"{abs(skew):.1f}", "mm", place)
    band = {"height": f"{label.specified:.1f}", "tolerance": f"{HEIGHT_TOLERANCE_MM:.1f}"}
    return [
        *held,
        Held(turned, Sentence(gettext_noop("0 °")), label.turned == 0, TURNED),
        Held(
            height,
            Sentence(gettext_noop("%(height)s mm ± %(tolerance)s mm"), band),
            abs(off) <= HEIGHT_TOLERANCE_MM,
            HIGH if off > 0 else LOW,
        ),
        Held(
            corners,
            Sentence(gettext_noop("%(most)s mm at most"), {"most": f"{SKEW_LIMIT_MM:.1f}"}),
            abs(skew) <= SKEW_LIMIT_MM,
            CROOKED,
        ),
    ]


def _drawn(labels: list[Stuck]) -> Element:
    drawing = sheet(WIDTH_MM, HEIGHT_MM)
    for centre, name in ((FRONT_X, "FRONT"), (BACK_X, "BACK")):
        _bottle(drawing, centre)
        for side in (-1, 1):
            ruler(drawing, centre + side * (BODY_HALF_MM + 8), BASE_Y, 220, on_right=side > 0)
        text(drawing, centre, BASE_Y + 5, name, font_size=4, text_anchor="middle")
    for label in labels:
        if label.is_there:
            _paper(drawing, label)
    for label in labels:
        y, reach = BASE_Y - label.specified, BODY_HALF_MM + 8
        line = [(label.place.centre_x - reach, y), (label.place.centre_x + reach, y)]
        path(drawing, line, class_=GAUGE, stroke_width=0.2, stroke_dasharray="2 1.4")
    return drawing


def _bottle(drawing: Element, centre: float) -> None:
    """Draw the outline: body, shoulder as two curves, neck, rim."""
    heights = (SHOULDER_MM, *SHOULDER_HANDLES_MM, NECK_FROM_MM, RIM_MM)
    body_y, low_y, high_y, neck_y, rim_y = (mm(BASE_Y - height) for height in heights)
    body, neck = ((mm(centre - half), mm(centre + half)) for half in (BODY_HALF_MM, NECK_HALF_MM))
    outline = (
        f"M{body[0]} {BASE_Y}V{body_y}C{body[0]} {low_y} {neck[0]} {high_y} {neck[0]} {neck_y}V{rim_y}H{neck[1]}"
        f"V{neck_y}C{neck[1]} {high_y} {body[1]} {low_y} {body[1]} {body_y}V{BASE_Y}Z"
    )
    add(drawing, "path", d=outline, class_=f"{GROUND} {INK}", stroke_width=0.5)


def _paper(drawing: Element, label: Stuck) -> None:
    width, height = label.place.paper
    # Of the tilted paper the middle of the lower edge lies half-way between the corners.
    tilt = math.radians(label.angle_deg)
    middle_y = BASE_Y - (label.left + label.right) / 2
    centre_x = label.place.centre_x + height / 2 * math.sin(tilt)
    centre_y = middle_y - height / 2 * math.cos(tilt)
    group = add(
        drawing,
        "g",
        id=f"label-{label.place.code}",
        transform=f"rotate({label.angle_deg + label.turned:.6f} {centre_x:.6f} {centre_y:.6f})",
    )
    corner = (centre_x - width / 2, centre_y - height / 2)
    add(
        group,
        "rect",
        x=f"{corner[0]:.6f}",
        y=f"{corner[1]:.6f}",
        width=width,
        height=height,
        fill="#fbf6e6",
        stroke="#3a2c14",
        stroke_width=0.3,
    )
    size = height / 6
    text(group, centre_x, centre_y - height * 0.18, "PILS", font_size=size, text_anchor="middle", fill=PRINT)
    add(
        group,
        "path",
        d=f"M{mm(centre_x - width * 0.3)} {mm(centre_y)}h{mm(width * 0.6)}",
        stroke="#3a2c14",
        stroke_width=0.5,
    )
    peak = centre_y + height * 0.1
    triangle = f"M{mm(centre_x)} {mm(peak)}l{mm(width * 0.12)} {mm(height * 0.22)}h{mm(-width * 0.24)}Z"
    add(group, "path", d=triangle, fill="#8c2f1b")


LABEL = Inspection(
    code="label",
    title=gettext_noop("Labels on a bottle"),
    asks=gettext_noop("Are all three labels on, the right way up, straight, and at their height?"),
    faults=(
        Fault(
            MISSING,
            gettext_noop("a label is missing"),
            gettext_noop("Count first: front, neck, back. Only then look at heights."),
            is_graded=False,
        ),
        Fault(
            TURNED,
            gettext_noop("a label is upside down"),
            gettext_noop("Read a word on each label before you look at its edges."),
            is_graded=False,
        ),
        Fault(HIGH, gettext_noop("a label is too high"), gettext_noop("Take the middle of left and right corner.")),
        Fault(LOW, gettext_noop("a label is too low"), gettext_noop("Take the middle of left and right corner.")),
        Fault(
            CROOKED,
            gettext_noop("a label is crooked"),
            gettext_noop("Read both lower corners; it is their difference that counts, not their height."),
        ),
    ),
    sources=("GEOMETRY", "PLANT"),
    cautions=(GLASS, MACHINE),
    makes=_specimen,
)
