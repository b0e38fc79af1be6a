"""The plot of differences with its labels and its words, ready for the template."""

from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from assessments.queries.agreement import Compared
from assessments.statistics.plot import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, Level, Mark, Plot, Tick, plot
from assessments.views.agreement_words import figures, measure_of, minus

TICK: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The measures of the sheet and of the field on it, in its own units."""

    width: float = WIDTH
    height: float = HEIGHT
    left: float = LEFT
    right: float = RIGHT
    top: float = TOP
    bottom: float = BOTTOM

    @property
    def span(self) -> float:
        """Return the width of the field."""
        return self.right - self.left

    @property
    def tick_start(self) -> float:
        """Return where a mark on the upright axis begins."""
        return self.left - TICK

    @property
    def tick_end(self) -> float:
        """Return where a mark on the axis below ends."""
        return self.bottom + TICK

    @property
    def middle(self) -> float:
        """Return the middle of the field from left to right."""
        return (self.left + self.right) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPlot:
    """A plot as the template draws it. `text` says in words what is drawn; the tables beside it give every figure."""

    drawn: Plot
    sheet: Sheet
    x_ticks: list[tuple[float, str]]
    y_ticks: list[tuple[float, str]]
    levels: list[tuple[Level, str]]
    marks: tuple[Mark, ...]
    x_title: str
    y_title: str
    title: str
    text: str


def shown_plot(compared: Compared) -> ShownPlot:
    """Return the plot of some pairs, with labels in the unit of the reading."""
    drawn, measure = plot(compared.pairs, compared.found, compared.quantity.most), measure_of(compared)
    names = {"bias": _("mean"), "high": _("upper"), "low": _("lower")}
    return ShownPlot(
        drawn=drawn,
        sheet=Sheet(),
        x_ticks=[_label(tick) for tick in drawn.x_ticks],
        y_ticks=[_label(tick) for tick in drawn.y_ticks],
        levels=[(level, f"{names[level.name]} {measure.signed(level.value)}") for level in drawn.levels],
        marks=drawn.marks,
        x_title=_in_unit(_("Mean of both readings"), measure.unit),
        y_title=_in_unit(_("Trainee less watcher"), measure.unit),
        title=_("%(name)s: difference of each pair against its mean") % {"name": compared.quantity.name},
        text=_text(compared),
    )


def _label(tick: Tick) -> tuple[float, str]:
    return tick.at, minus(f"{tick.value:.{tick.places}f}")


def _in_unit(text: str, unit: str) -> str:
    return f"{text} [{unit}]" if unit else text


def _text(compared: Compared) -> str:
    return "; ".join(f"{name}: {value}" for name, value in figures(compared)) + "."
