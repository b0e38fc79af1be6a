"""Drawings are true: what is measured in them, in millimetres, is what the text alternative says."""

import math
import re

import pytest

from assessments.inspection import INSPECTIONS
from assessments.inspection.dots import dots_of
from assessments.inspection.drawing import as_text
from tests.assessments.inspection.measuring import (
    SVG,
    by_id,
    lower_corners,
    make,
    number,
    parsed,
    valued,
    zero_and_scale,
)

SEEDS = range(60)
PLACES = {"front": "Front label", "neck": "Neck label", "back": "Back label"}


@pytest.mark.parametrize("seed", SEEDS)
def test_label_corners_lie_where_the_words_say(seed):
    item = make("label", seed)
    drawing = parsed(item)
    zero, scale = zero_and_scale(drawing)

    for code, name in PLACES.items():
        group = by_id(drawing, f"label-{code}")
        if group is None:
            assert valued(item, name) == "bare glass"
            continue
        left, right, angle = lower_corners(group)
        for corner, side in ((left, "left"), (right, "right")):
            said = float(valued(item, f"{name}, lower {side} corner above the base"))
            assert (corner[1] - zero) / scale == pytest.approx(said, abs=0.001)
        assert int(valued(item, f"{name}, writing turned by")) == (180 if abs(angle) > 90 else 0)


@pytest.mark.parametrize("seed", SEEDS)
def test_skew_of_a_label_is_that_of_its_corners(seed):
    item = make("label", seed)
    drawing = parsed(item)

    for code, name in PLACES.items():
        group = by_id(drawing, f"label-{code}")
        if group is None:
            continue
        (left_x, left_y), (right_x, right_y), _angle = lower_corners(group)
        told = [held for held in item.specimen.held if held.measure.params.get("place") == name][-1]
        width = number(group.find(f"{SVG}rect"), "width")
        axis = next(
            each for each in drawing.iter(f"{SVG}text") if each.text == ("BACK" if code == "back" else "FRONT")
        )
        assert (left_x + right_x) / 2 == pytest.approx(number(axis, "x"), abs=0.001)
        assert abs(right_y - left_y) == pytest.approx(float(told.measure.value), abs=0.001)
        assert math.hypot(right_x - left_x, right_y - left_y) == pytest.approx(width, abs=1e-4)


@pytest.mark.parametrize("seed", SEEDS)
def test_fill_height_is_that_of_the_liquid(seed):
    item = make("fill", seed)
    drawing = parsed(item)
    zero, scale = zero_and_scale(drawing)
    liquid, foam = by_id(drawing, "drawn-liquid"), by_id(drawing, "drawn-foam")

    level = (number(liquid, "y") - zero) / scale

    assert level == pytest.approx(float(valued(item, "Liquid under the foam, below the rim")), abs=0.001)
    assert (number(foam, "y") - zero) / scale == pytest.approx(
        float(valued(item, "Top of the foam, below the rim")), abs=0.001
    )
    assert number(foam, "y") + number(foam, "height") == pytest.approx(number(liquid, "y"), abs=0.001)


@pytest.mark.parametrize("seed", SEEDS)
def test_skirt_of_a_cap_ends_where_the_words_say(seed):
    item = make("crown", seed)
    drawing = parsed(item)
    cap = by_id(drawing, "drawn-cap")
    if cap is None:
        assert valued(item, "Rim of the bottle") == "bare glass"
        return
    zero, scale = zero_and_scale(drawing)

    left, right, _angle = lower_corners(cap)

    for corner, side in ((left, "left"), (right, "right")):
        said = float(valued(item, f"Skirt, {side} edge below the rim"))
        assert (corner[1] - zero) / scale == pytest.approx(said, abs=0.001)


@pytest.mark.parametrize("seed", SEEDS)
def test_code_keeps_from_the_edges_of_its_field_as_said(seed):
    item = make("date_code", seed)
    drawing = parsed(item)
    lines = [each for each in drawing.iter(f"{SVG}path") if each.get("class") == "drawn-code"]
    if not lines:
        assert valued(item, "Code in the field") == "nothing printed"
        return
    field = by_id(drawing, "drawn-field")
    spots = [(float(x), float(y)) for line in lines for x, y in re.findall(r"M(\S+) (\S+?)h0", line.get("d"))]
    half = number(lines[0], "stroke-width") / 2
    x, y, width, height = (number(field, name) for name in ("x", "y", "width", "height"))
    missing = int(valued(item, "Rows of dots missing, of 7"))

    inside = {
        "left": min(spot[0] for spot in spots) - half - x,
        "right": x + width - max(spot[0] for spot in spots) - half,
    }
    if not missing:
        inside["top"] = min(spot[1] for spot in spots) - half - y
        inside["bottom"] = y + height - max(spot[1] for spot in spots) - half

    for edge, gap in inside.items():
        # A letter may leave its outermost column or row empty: half a pitch, one dot, or two.
        said = float(valued(item, f"Code inside the {edge} edge of its field by", edge=edge))
        assert said - 0.051 <= gap <= said + 1.001


@pytest.mark.parametrize("seed", SEEDS)
def test_print_leaves_out_the_rows_that_are_blocked(seed):
    item = make("date_code", seed)
    lines = [each for each in parsed(item).iter(f"{SVG}path") if each.get("class") == "drawn-code"]
    if not lines:
        return
    rows = {round(float(y), 3) for y in re.findall(r"M\S+ (\S+?)h0", lines[0].get("d"))}
    words = valued(item, "First line, as printed")

    whole = {row for _column, row in dots_of(words)}

    assert len(rows) == len(whole) - int(valued(item, "Rows of dots missing, of 7"))


@pytest.mark.parametrize("seed", SEEDS)
def test_spot_plate_has_a_drop_for_each_colour_said(seed):
    item = make("spot_plate", seed)
    drawing = parsed(item)
    fills = {}

    for measure in item.specimen.measures:
        if "place" in measure.params and measure.says.endswith("%(place)s"):
            fill = by_id(drawing, f"drop-{measure.params['number']}").get("fill")
            assert fills.setdefault(measure.value, fill) == fill

    assert len(set(fills.values())) == len(fills)
    assert sum(1 for each in drawing.iter() if (each.get("id") or "").startswith("drop-")) == 6
    written = {each.text for each in drawing.iter(f"{SVG}text")}
    for measure in item.specimen.measures:
        if measure.says.endswith("temperature"):
            assert f"{measure.value} °C" in written
        if measure.says.endswith("beside it"):
            assert measure.value in written


@pytest.mark.parametrize("code", INSPECTIONS)
def test_text_alternative_gives_measurements_and_no_verdict(code):
    inspection = INSPECTIONS[code]

    for seed in range(40):
        item = make(code, seed)
        said = " ".join(f"{each.says % each.params} {each.value}" for each in item.specimen.measures)
        assert not any(fault.name in said for fault in inspection.faults)
        drawing = parsed(item)
        assert drawing.get("role") == "img"
        assert by_id(drawing, drawing.get("aria-labelledby")).text == "title"
        assert by_id(drawing, drawing.get("aria-describedby")).text == "says"


def test_words_in_a_drawing_are_escaped():
    item = make("fill", 1)

    drawing = as_text(item.specimen.drawing, title="<script>", description='"&', translate=str)

    assert "<script>" not in drawing
    assert "&lt;script&gt;" in drawing
