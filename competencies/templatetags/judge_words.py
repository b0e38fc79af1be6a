"""What the figures about an assessor mean, and where they lie on a drawing."""

from django import template
from django.utils.translation import gettext as _

from competencies.statistics.leniency import Leniency

register = template.Library()

# The drawing is 200 wide and shows 50 points to either side; what lies beyond ends at its edge.
MIDDLE, POINTS_SHOWN, SCALE = 100.0, 50.0, 2.0


@register.filter
def leniency_words(found: Leniency | None) -> str:
    """Return in plain words what an assessor's figure means."""
    if found is None:
        return _("Too few performances: nothing is said.")
    if found.low > 0:
        return _("More lenient than expected of these tasks and people.")
    if found.high < 0:
        return _("Stricter than expected of these tasks and people.")
    return _("No clear difference from what is expected.")


@register.filter
def across(points: float) -> str:
    """Return where so many points lie on the drawing, in figures that every reader of SVG knows."""
    return f"{MIDDLE + SCALE * max(-POINTS_SHOWN, min(POINTS_SHOWN, points)):.1f}"


@register.filter
def signed_points(points: float) -> str:
    """Return percentage points with their sign; what rounds to nothing has none."""
    text = f"{points:+.1f}".replace("-", "−")
    return text if text.strip("+−0.") else "0.0"
