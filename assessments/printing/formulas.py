"""Formulas on paper: the MathML of the page, drawn as a picture, since print knows no MathML."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final
from urllib.parse import quote

from ziamath.zmath import Math

#: The size of the letters, in CSS pixels: 10.5 points.
LETTER_PX: Final = 14.0
#: A sheet for a crew shows the same symbols on every copy.
KEPT: Final = 512


@dataclass(frozen=True, slots=True)
class FormulaPicture:
    """A drawn formula: its address, its size in CSS pixels, how far it reaches below the line, and its words."""

    address: str
    width: float
    height: float
    below: float
    words: str


def formula_picture(math: str, words: str) -> FormulaPicture:
    """Return the picture of one `math` element; `words` say the same in one line for those who listen."""
    address, width, height, below = _drawn(math)
    return FormulaPicture(address, width, height, below, words)


@lru_cache(maxsize=KEPT)
def _drawn(math: str) -> tuple[str, float, float, float]:
    drawing = Math(math, size=LETTER_PX)
    width, height = drawing.getsize()
    return (
        f"data:image/svg+xml,{quote(drawing.svg())}",
        round(width, 1),
        round(height, 1),
        round(-drawing.getyofst(), 1),
    )
