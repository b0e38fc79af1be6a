"""Agreement of readings in words and figures: a number with its unit, a verdict with what to do about it."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.queries.agreement import Compared
from assessments.statistics.agreement import LEAST_PAIRS, Finding
from assessments.statistics.intervals import Interval
from assessments.statistics.repeatability import Repeatability
from assessments.views.shown import Told
from competencies.templatetags.units import amount, unit_sign

TONES: Final = {
    Finding.READS_OFF: "warn",
    Finding.SCATTERS: "warn",
    Finding.AGREES: "good",
    Finding.TOO_FEW: "info",
    Finding.NO_LIMIT: "info",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """How the numbers of one quantity are written: so many decimals for what was read, and the unit."""

    places: int
    unit: str

    def plain(self, value: float | Decimal) -> str:
        """Return a derived value, with one decimal more than the readings have."""
        return minus(f"{value:.{self.places + 1}f}")

    def signed(self, value: float | Decimal) -> str:
        """Return a derived difference with its sign."""
        text = self.plain(value)
        return text if float(value) <= 0 or not text.strip("0.") else f"+{text}"

    def with_unit(self, text: str) -> str:
        """Return a number with its unit on the same line; a count has none."""
        return f"{text}\N{NO-BREAK SPACE}{self.unit}" if self.unit else text

    def span(self, within: Interval) -> str:
        """Return two differences and the unit: "−0.4 to +0.9 °C"."""
        words = {"low": self.signed(within.low), "high": self.signed(within.high)}
        return self.with_unit(_("%(low)s to %(high)s") % words)


def measure_of(compared: Compared) -> Measure:
    """Return how the numbers of a quantity are written: with as many decimals as the finest reading."""
    places = max(_places(value) for pair in compared.pairs for value in pair)
    return Measure(places=places, unit=unit_sign(compared.quantity.unit))


def _places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def minus(text: str) -> str:
    """Return a number with a true minus sign."""
    return text.replace("-", "−")


def told_finding(compared: Compared, *, is_all: bool = False) -> Told:
    """Return the verdict with what it rests on and, where the readings are off, what to go through.

    With `is_all` it is said of the trainees together, not of one.
    """
    points = [_beyond_words(compared), _grows_words(compared)]
    if compared.finding in {Finding.READS_OFF, Finding.SCATTERS}:
        points.append(_advice(compared.quantity.unit))
    return Told(
        kind=TONES[compared.finding],
        title=_title(compared, is_all=is_all),
        text=_because(compared),
        points=tuple(point for point in points if point),
    )


def finding_word(compared: Compared) -> str:
    """Return the verdict in a word or two, for a table."""
    words = {
        Finding.READS_OFF: _("reads high") if compared.found.bias > 0 else _("reads low"),
        Finding.SCATTERS: _("scatters"),
        Finding.AGREES: _("agrees"),
        Finding.TOO_FEW: _("too few pairs to say"),
        Finding.NO_LIMIT: _("the task sets no limit"),
    }
    return words[compared.finding]


def _title(compared: Compared, *, is_all: bool) -> str:
    measure, found = measure_of(compared), compared.found
    if compared.finding is Finding.READS_OFF:
        one = _("Reads %(off)s high.") if found.bias > 0 else _("Reads %(off)s low.")
        many = _("Trainees read %(off)s high.") if found.bias > 0 else _("Trainees read %(off)s low.")
        return (many if is_all else one) % {"off": measure.with_unit(measure.plain(abs(found.bias)))}
    if compared.finding is Finding.TOO_FEW:
        return _("Too few pairs to say: %(count)s of the %(needed)s needed.") % {
            "count": found.pairs,
            "needed": LEAST_PAIRS,
        }
    return f"{capfirst(finding_word(compared))}."


def _because(compared: Compared) -> str:
    measure, limits = measure_of(compared), compared.found.limits
    if limits is None or compared.finding is Finding.TOO_FEW:
        return ""
    words = {
        "low": measure.signed(limits.low),
        "high": measure.with_unit(measure.signed(limits.high)),
        "most": most_words(compared),
    }
    said = _("95 of 100 differences are expected between %(low)s and %(high)s.") % words
    if compared.finding is Finding.NO_LIMIT:
        return said
    said += " " + _("The task lets %(most)s lie between two people.") % words
    if compared.finding is Finding.AGREES and compared.found.is_steady:
        off = {"off": measure.with_unit(measure.signed(compared.found.bias))}
        said += " " + _("The mean difference of %(off)s is no chance, and within the limit.") % off
    return said


def _beyond_words(compared: Compared) -> str:
    if compared.quantity.most is None:
        return ""
    words = {"beyond": compared.beyond, "count": compared.found.pairs, "most": most_words(compared)}
    return _("%(beyond)s of %(count)s pairs lie further apart than %(most)s.") % words


def _grows_words(compared: Compared) -> str:
    if not compared.found.grows:
        return ""
    return _("The differences go with the size of the reading: look at the plot before you lean on the limits.")


def _advice(unit: str) -> str:
    """Return what two people usually go through together, by what is read. Common practice, no source."""
    advice = {
        "degC": _("Go through where the thermometer goes in, and wait until it stands still."),
        "bar": _("Go through which gauge is read, that it shows nought without pressure, and read it straight on."),
        "mm": _("Go through where the gauge is set, and read it straight on."),
        "mL": _("Go through the level: on an even bench, at eye height."),
        "pH": _("Go through rinsing and calibrating the electrode, and wait until it stands still."),
        "g": _("Go through the zero of the balance, and keep it level and out of draughts."),
        "kg": _("Go through the zero of the scale, and that nothing touches its platform."),
        "degP": _("Go through the temperature of the sample, get the gas out of it, and read at eye height."),
    }
    both = _("Read it together twice, neither seeing the other's figure, and compare how each of you does it.")
    return advice.get(unit, both)


def most_words(compared: Compared) -> str:
    """Return what the task lets lie between two people, with its unit; a dash where it sets no limit."""
    most = compared.quantity.most
    return "–" if most is None else measure_of(compared).with_unit(amount(most))


def figures(compared: Compared) -> list[tuple[str, str]]:
    """Return the figures of an agreement for the table beside its plot."""
    measure, found = measure_of(compared), compared.found
    rows = [(_("Pairs"), str(found.pairs)), (_("Mean difference"), measure.with_unit(measure.signed(found.bias)))]
    if found.bias_within and found.limits and found.spread is not None:
        limits = found.limits
        rows[1] = (rows[1][0], _with_interval(measure, found.bias, found.bias_within))
        rows += [
            (_("Standard deviation of the differences"), measure.with_unit(measure.plain(found.spread))),
            (_("Upper limit of agreement"), _with_interval(measure, limits.high, limits.high_within)),
            (_("Lower limit of agreement"), _with_interval(measure, limits.low, limits.low_within)),
        ]
    beyond = _("%(beyond)s of %(count)s") % {"beyond": compared.beyond, "count": found.pairs}
    rows += [(_("May differ by"), most_words(compared))]
    return rows + ([(_("Further apart than that"), beyond)] if compared.quantity.most is not None else [])


def _with_interval(measure: Measure, value: float, within: Interval) -> str:
    words = {"value": measure.with_unit(measure.signed(value)), "span": measure.span(within)}
    return _("%(value)s (95 %% interval %(span)s)") % words


def repeats_words(repeats: Repeatability | None, compared: Compared) -> str:
    """Return the repeatability, or that nothing was read twice: then only what lies between two people is known."""
    measure = measure_of(compared)
    if repeats is None:
        return _(
            "Nothing was read twice by the same person in one run, so there is no repeatability to give. "
            "The standard deviation here is that between two people."
        )
    words = {
        "limit": measure.with_unit(measure.plain(repeats.limit)),
        "deviation": measure.with_unit(measure.plain(repeats.deviation)),
        "count": repeats.freedom,
    }
    return (
        ngettext(
            "Read twice by the same person, 95 of 100 pairs lie within %(limit)s of each other "
            "(repeatability standard deviation %(deviation)s, from %(count)s repeat).",
            "Read twice by the same person, 95 of 100 pairs lie within %(limit)s of each other "
            "(repeatability standard deviation %(deviation)s, from %(count)s repeats).",
            repeats.freedom,
        )
        % words
    )
