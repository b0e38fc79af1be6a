"""Measures a drawing as somebody with a ruler would: from the corner points, after every turn is carried out."""

import math
import re
from functools import cache
from xml.etree.ElementTree import fromstring

from assessments.inspection import INSPECTIONS, item_of
from assessments.inspection.drawing import as_text

SVG = "{http://www.w3.org/2000/svg}"


@cache
def make(code, seed, close_share=0.5):
    return item_of(INSPECTIONS[code], seed, close_share=close_share)


def parsed(item):
    """Return the drawing as it goes to the page, read back."""
    return fromstring(as_text(item.specimen.drawing, title="title", description="says", translate=str))


def by_id(drawing, name):
    return next((each for each in drawing.iter() if each.get("id") == name), None)


def number(element, name):
    return float(element.get(name))


def turned(transform):
    """Return the function that carries out `rotate(angle x y)`, and the angle."""
    angle, cx, cy = (float(part) for part in re.fullmatch(r"rotate\((\S+) (\S+) (\S+)\)", transform).groups())
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))

    def point(x, y):
        return (cx + (x - cx) * cos - (y - cy) * sin, cy + (x - cx) * sin + (y - cy) * cos)

    return point, angle


def lower_corners(group):
    """Return the lower left and the lower right corner of the paper of a turned group, as they lie on the page."""
    point, angle = turned(group.get("transform"))
    rect = group.find(f"{SVG}rect")
    x, y, width, height = (number(rect, name) for name in ("x", "y", "width", "height"))
    corners = [point(x + dx, y + dy) for dx in (0, width) for dy in (0, height)]
    lowest = sorted(corners, key=lambda corner: corner[1])[2:]
    left, right = sorted(lowest)
    return left, right, angle


def valued(item, says, **params):
    """Return the value of a measure by its words."""
    return next(
        each.value
        for each in item.specimen.measures
        if each.says % each.params == says and all(each.params[key] == value for key, value in params.items())
    )


def zero_and_scale(drawing):
    """Return, of the first ruler, where nought lies and which way it runs: by its figures, not by the code."""
    ruler = next(each for each in drawing.iter(f"{SVG}g") if each.get("class") == "drawn-ruler")
    # A figure stands 1.2 mm below its tick, so that the two lie in one line.
    at = {int(each.text): number(each, "y") - 1.2 for each in ruler.iter(f"{SVG}text")}
    return at[0], (at[20] - at[0]) / 20
