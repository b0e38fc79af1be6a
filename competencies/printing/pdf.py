"""Turns a page into a tagged PDF (PDF/UA-1), with the project's own style sheets and font and nothing from outside."""

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from django.conf import settings
from django.template.loader import render_to_string

from competencies.printing.fetching import font_uri, refusing_fetcher
from competencies.vocabulary import Standing

STYLES: Final = ("tokens.css", "print.css", "record.css", "worksheet.css", "desk.css")
VARIANT: Final = "pdf/ua-1"
PACKAGES: Final = ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0")

# The fonts once read are shared by all sheets of a process, and are not made for two threads at a time.
_drawing = threading.RLock()


class PdfUnavailableError(Exception):
    """Sheets cannot be drawn on this machine; `packages` are what to install."""

    def __init__(self, packages: Sequence[str], cause: str) -> None:
        self.packages = tuple(packages)
        super().__init__(f"install {' '.join(packages)} ({cause})")


@dataclass(frozen=True, slots=True)
class _Press:
    """What drawing a sheet needs: the class that reads a page, the fonts, the style sheets."""

    html: Any
    fonts: Any
    styles: tuple[Any, ...]


def require_press() -> None:
    """Raise PdfUnavailableError where the native libraries for drawing sheets are missing."""
    load_weasyprint()


def load_weasyprint() -> Any:  # noqa: ANN401 - ships no types
    """Return the library that draws; PdfUnavailableError where its native libraries are missing."""
    try:
        import weasyprint  # noqa: PLC0415 - the rest of the site works without it
        import weasyprint.text.fonts  # noqa: PLC0415 - the rest of the site works without it
    except OSError as error:
        raise PdfUnavailableError(PACKAGES, str(error).splitlines()[0]) from error
    return weasyprint


def render_pdf(html: str) -> bytes:
    """Return the PDF of a page that extends print.html. Raises PdfUnavailableError."""
    with _drawing:
        pdf: bytes = draw(html).write_pdf(pdf_variant=VARIANT, finisher=_give_heads_their_scope)
    return pdf


def draw(html: str) -> Any:  # noqa: ANN401 - ships no types
    """Return the sheets of a page, drawn and not yet written. Raises PdfUnavailableError."""
    weasyprint = load_weasyprint()
    with _drawing:
        press = _press(weasyprint)
        page = press.html(string=html, url_fetcher=refusing_fetcher(), base_url=None)
        return page.render(stylesheets=list(press.styles), font_config=press.fonts, pdf_variant=VARIANT)


def _give_heads_their_scope(_document: Any, pdf: Any) -> None:  # noqa: ANN401 - ships no types
    """Say of every table head that it heads a column: cells name their heads too, but not every reader follows."""
    for each in pdf.objects:
        if getattr(each, "get", None) and each.get("S") == "/TH" and "A" in each:
            each["A"]["Scope"] = "/Column"


@cache
def _press(weasyprint: Any) -> _Press:  # noqa: ANN401 - ships no types
    fonts = weasyprint.text.fonts.FontConfiguration()
    sheets = [style_text(name) for name in STYLES]
    sheets.insert(1, f'@font-face {{ font-family: "Source Sans 3"; src: url("{font_uri()}"); }}')
    sheets += [shape_rule(standing) for standing in Standing]
    fetcher = refusing_fetcher()
    styles = tuple(weasyprint.CSS(string=text, font_config=fonts, url_fetcher=fetcher) for text in sheets)
    return _Press(weasyprint.HTML, fonts, styles)


def style_text(name: str) -> str:
    """Return a style sheet of the project."""
    return (Path(settings.BASE_DIR) / "static" / "css" / name).read_text()


def shape_rule(standing: Standing) -> str:
    """Return the style rule that draws the shape of a standing behind its word."""
    drawing = render_to_string("components/shape_drawing.html", {"standing": standing.value})
    picture = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16">{drawing}</svg>'
    address = quote(" ".join(picture.replace("currentColor", "#000").split()))
    return f'.shape-{standing.value} {{ background-image: url("data:image/svg+xml,{address}"); }}'
