"""Says at start what paper needs and does not find; the rest of the site works without it."""

from collections.abc import Sequence
from typing import Any

from django.apps import AppConfig
from django.core import checks

from competencies.printing.pdf import PdfUnavailableError, require_press

MISSING = "competencies.W001"


def check_press(app_configs: Sequence[AppConfig] | None, **_: Any) -> list[checks.CheckMessage]:  # noqa: ANN401 - a check's own signature
    """Warn where records cannot be printed on this machine, and say what to install."""
    try:
        require_press()
    except PdfUnavailableError as error:
        hint = f"apt-get install --no-install-recommends {' '.join(error.packages)}"
        return [checks.Warning(f"Records cannot be printed here: {error}.", hint=hint, id=MISSING)]
    return []
