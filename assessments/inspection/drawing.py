"""Small pieces of SVG drawings. The user unit is a millimetre of the thing drawn; y runs down the page."""

from collections.abc import Callable, Iterable, Sequence
from copy import deepcopy
from xml.etree.ElementTree import Element, SubElement, tostring

#: Lines and letters take their colour from the theme of the page, through these classes of inspection.css.
INK, GAUGE, GROUND = "drawn-ink", "drawn-gauge", "drawn-ground"
#: Print on paper or on a tile, which are light in both themes.
PRINT = "#2a2010"

Number = float | int
_TICK_MM, _MIDDLE_TICK_MM, _LONG_TICK_MM = 1.6, 2.4, 3.4


def mm(value: Number) -> str:
    """Return a length as it stands in a drawing: to a thousandth of a millimetre, without needless zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def sheet(width_mm: Number, height_mm: Number) -> Element:
    """Return an empty drawing of that size."""
    return Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {mm(width_mm)} {mm(height_mm)}",
            "class": "drawn",
            "role": "img",
            "preserveAspectRatio": "xMidYMin meet",
        },
    )


def add(parent: Element, tag: str, **attributes: Number | str) -> Element:
    """Add a shape; `class_` stands for class, an underline for a hyphen, and numbers are millimetres."""
    named = {name.strip("_").replace("_", "-"): value for name, value in attributes.items()}
    return SubElement(
        parent, tag, {name: value if isinstance(value, str) else mm(value) for name, value in named.items()}
    )


def text(parent: Element, x: Number, y: Number, says: str, **attributes: Number | str) -> Element:
    """Add a short text; its size is in millimetres, 4 unless told."""
    look = {} if "fill" in attributes else {"class_": INK}
    named: dict[str, Number | str] = {"font_size": 4, **look, **attributes}
    written = add(parent, "text", x=x, y=y, **named)
    written.text = says
    return written


def path(parent: Element, points: Sequence[tuple[Number, Number]], **attributes: Number | str) -> Element:
    """Add a line through points."""
    start, *others = (f"{mm(x)} {mm(y)}" for x, y in points)
    return add(parent, "path", d=f"M{start}" + "".join(f"L{point}" for point in others), **attributes)


def ruler(parent: Element, x: Number, zero_y: Number, length: int, *, on_right: bool, down: bool = False) -> Element:
    """Add an upright scale in millimetres with its zero at `zero_y`, on the left or right of the thing measured.

    The ticks point to the thing, the figures stand on the other side.
    """
    side, way = (-1 if on_right else 1), (1 if down else -1)
    scale = add(parent, "g", class_="drawn-ruler")
    path(scale, [(x, zero_y), (x, zero_y + way * length)], stroke_width=0.25)
    for heights, tick, width in _ticks(length):
        strokes = "".join(f"M{mm(x)} {mm(zero_y + way * height)}h{mm(side * tick)}" for height in heights)
        add(scale, "path", d=strokes, stroke_width=width)
    anchor = "start" if on_right else "end"
    for height in range(0, length + 1, 10):
        y = zero_y + way * height + 1.2
        text(scale, x - side * 1.2, y, str(height), font_size=3.4, text_anchor=anchor)
    return scale


def _ticks(length: int) -> Iterable[tuple[list[int], float, float]]:
    yield [height for height in range(length + 1) if height % 5], _TICK_MM, 0.12
    yield [height for height in range(length + 1) if height % 10 == 5], _MIDDLE_TICK_MM, 0.16  # noqa: PLR2004
    yield list(range(0, length + 1, 10)), _LONG_TICK_MM, 0.2


def as_text(drawing: Element, *, title: str, description: str, translate: Callable[[str], str]) -> str:
    """Return the drawing as SVG with its text alternative: a title, and what can be measured."""
    shapes = deepcopy(drawing)
    for written in shapes.iter("text"):
        written.text = translate(written.text or " ")
    named = Element("svg", {**drawing.attrib, "aria-labelledby": "drawn-title", "aria-describedby": "drawn-says"})
    add(named, "title", id="drawn-title").text = title
    add(named, "desc", id="drawn-says").text = description
    named.extend(shapes)
    return tostring(named, encoding="unicode")
