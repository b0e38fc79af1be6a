"""What a report of inspections says: figures with their intervals, and what they mean in plain words."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.inspection.judgement import FEWEST_OF_EACH, Counts, Estimate, criterion, d_prime, kappa
from assessments.queries.inspection import FaultTally, Report

#: Where the words for d' change, and from which criterion on a leaning is named. Common practice, no source.
SURE, FAIR, CHANCE = 2.5, 1.5, 0.5
LEANING = 0.3


def figure_heads() -> list[object]:
    """Return the heads over `figure_row`."""
    return [
        _("Inspection"),
        {"text": _("Seen"), "number": True},
        _("Faulty let through"),
        _("Good ones stopped"),
        _("d-prime (95 % interval)"),
        _("Criterion c"),
        _("Kappa with the truth (95 % interval)"),
    ]


def figure_row(report: Report) -> list[object]:
    """Return the figures of one kind of inspection; without enough drawings the words say so in their place."""
    counts = report.counts
    start = [_(report.inspection.title), {"number": str(counts.seen)}, *_shares(counts)]
    if not counts.are_enough:
        return [*start, _("too few yet"), _("too few yet"), _("too few yet")]
    agreement = kappa(counts)
    return [
        *start,
        _with_interval(d_prime(counts)),
        f"{criterion(counts):+.2f}",
        _with_interval(agreement) if agreement else _("not defined"),
    ]


def _shares(counts: Counts) -> list[str]:
    return [
        _("%(part)s of %(whole)s") % {"part": counts.misses, "whole": counts.faulty},
        _("%(part)s of %(whole)s") % {"part": counts.false_alarms, "whole": counts.good},
    ]


def _with_interval(estimate: Estimate) -> str:
    words = _("%(value).2f (%(low).2f to %(high).2f)")
    return words % {"value": estimate.value, "low": estimate.low, "high": estimate.high}


def fault_heads() -> list[object]:
    """Return the heads over `fault_rows`."""
    numbers = (_("Shown"), _("Let through"), _("of these, close to the limit"), _("Stopped under another name"))
    return [_("Fault"), *({"text": head, "number": True} for head in numbers)]


def fault_rows(report: Report) -> list[list[object]]:
    """Return how each fault fared."""
    return [
        [_(each.fault.name).capitalize(), *({"number": str(count)} for count in _fault_counts(each))]
        for each in report.faults
    ]


def _fault_counts(tally: FaultTally) -> tuple[int, int, int, int]:
    return tally.shown, tally.missed, tally.missed_close, tally.misnamed


def sums_said(counts: Counts) -> list[str]:
    """Return in words what was let through and what was stopped for nothing."""
    return [_let_through(counts), _stopped(counts)]


def meaning(report: Report) -> list[str]:
    """Return what a report means, in plain words, and what to look at next."""
    counts = report.counts
    said = [*sums_said(counts)]
    if counts.are_enough:
        said += [_told_apart(d_prime(counts)), *_leaning(criterion(counts))]
    else:
        said.append(_too_few(counts))
    return said + _look_closer(report.faults)


def _let_through(counts: Counts) -> str:
    if not counts.faulty:
        return _("No faulty one was among them.")
    if not counts.misses:
        return ngettext(
            "The one faulty one was stopped.", "All %(count)s faulty ones were stopped.", counts.faulty
        ) % {"count": counts.faulty}
    return _("%(misses)s of %(faulty)s faulty ones went through.") % {
        "misses": counts.misses,
        "faulty": counts.faulty,
    }


def _stopped(counts: Counts) -> str:
    if not counts.good:
        return _("No good one was among them.")
    if not counts.false_alarms:
        return _("No good one was stopped.")
    return _("%(stopped)s of %(good)s good ones were stopped for nothing.") % {
        "stopped": counts.false_alarms,
        "good": counts.good,
    }


def _too_few(counts: Counts) -> str:
    return _(
        "For figures that mean something it takes at least %(fewest)s faulty and %(fewest)s good ones: %(more)s more, "
        "if they come as needed."
    ) % {"fewest": FEWEST_OF_EACH, "more": counts.still_needed}


def _told_apart(estimate: Estimate) -> str:
    if estimate.low <= 0:
        return _("So far this cannot be told from guessing.")
    if estimate.value < CHANCE:
        return _("Good and faulty look nearly the same so far.")
    if estimate.value < FAIR:
        return _("Good and faulty are told apart, with many mistakes.")
    if estimate.value < SURE:
        return _("Good and faulty are told apart well, with some mistakes.")
    return _("Good and faulty are told apart surely.")


def _leaning(value: float) -> list[str]:
    if value > LEANING:
        return [_("In doubt it goes through: look twice before you accept.")]
    if value < -LEANING:
        return [_("In doubt it is stopped: measure before you reject.")]
    return []


def _look_closer(faults: tuple[FaultTally, ...]) -> list[str]:
    worst = max(faults, key=lambda each: each.missed, default=None)
    if worst is None or not worst.missed:
        return []
    counted = {"fault": _(worst.fault.name), "missed": worst.missed, "shown": worst.shown}
    said = _("Look closer here: %(fault)s (%(missed)s of %(shown)s went through).") % counted
    if worst.fault.is_graded and 2 * worst.missed_close > worst.missed:
        said += " " + _("Most of these were close to the limit: measure, do not guess.")
    return [said, _(worst.fault.advice)]
