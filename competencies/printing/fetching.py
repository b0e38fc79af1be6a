"""What a sheet may load while it is drawn: the one font file, and pictures that stand in the page itself. No more.

A name or a note may hold anything, so nothing that a page asks for is fetched from the network or from a disk.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings

if TYPE_CHECKING:
    from weasyprint.urls import URLFetcher


def font_uri() -> str:
    """Return the address of the font that screen and paper share."""
    return Path(settings.PRINT_FONT).as_uri()


def refusing_fetcher() -> "URLFetcher":
    """Return a fetcher that gives out the font and data: addresses, and raises ValueError for everything else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse  # noqa: PLC0415 - may lack native libraries

    class RefusingFetcher(URLFetcher):  # type: ignore[misc] # ships no types
        """Knows two kinds of address."""

        def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
            """Return the font or the data; ValueError for any other address."""
            if url == font_uri():
                return URLFetcherResponse(url, settings.PRINT_FONT.read_bytes(), {"Content-Type": "font/ttf"})
            if url.startswith("data:"):
                return super().fetch(url, headers)
            raise ValueError("a sheet loads nothing from elsewhere")

    return RefusingFetcher(allowed_protocols=["data"], allow_redirects=False)
