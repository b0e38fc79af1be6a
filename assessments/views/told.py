"""A whole calculation in words, for its page: givens with their ranges, an example, tolerance, slips, sources."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.calculations.frame import Calculation, Coded, Day, Digits, Given, Measured, Slip, Word
from assessments.formulas.references import Reference
from assessments.generation import NoProblemError, Problem, problem_of
from assessments.notation import written
from assessments.views.shown import ShownGiven, ShownLine, shown_givens, shown_steps, shown_symbol
from assessments.vocabulary import AnswerKind, HowKnown

#: The example on the page of a calculation: always the same one.
EXAMPLE_SEED = 1
#: Parts of a tolerance are told to so many figures: more would mean nothing.
_FIGURES = 2


@dataclass(frozen=True, slots=True)
class Example:
    """A worked problem: what it states, its steps, the answer, what each slip makes of it, and the tolerance."""

    problem: Problem
    givens: list[ShownGiven]
    steps: list[ShownLine]
    slips: list[tuple[Slip, str]]
    tolerance: list[str]


def example_of(kind: Calculation, seed: int = EXAMPLE_SEED) -> Example | None:
    """Return the problem of a seed, worked; None where the ranges let none through, as in a draft."""
    try:
        made = problem_of(kind, seed)
    except NoProblemError:
        return None
    slips = [(slip, slip_value_shown(made, slip)) for slip in kind.slips]
    return Example(made, shown_givens(made), shown_steps(made), slips, tolerance_in_words(made))


def slip_value_shown(made: Problem, slip: Slip) -> str:
    """Return what a slip gives here, with its unit; "" where it gives nothing, or makes no difference."""
    if slip not in made.slips:
        return ""
    return f"{_(made.calculation.answer.show(made.slip_value(slip)))} {made.unit}".strip()


def given_rows(kind: Calculation) -> list[list[object]]:
    """Return what is given, for a table: words, symbol, range with unit, and how precisely it is read."""
    return [
        [
            _(given.says),
            {"text": shown_symbol(given.symbol)} if isinstance(given, Measured) else _("none"),
            _range(given),
            _read(given),
        ]
        for given in kind.givens
    ]


def given_heads() -> list[str]:
    """Return the heads of that table."""
    return [_("Given"), _("Symbol"), _("Range"), _("Read to")]


def _range(given: Given) -> str:
    match given:
        case Measured():
            words = {"low": given.show(given.low), "high": given.show(given.high)}
            return f"{_('%(low)s to %(high)s') % words} {given.shown_unit}".strip()
        case Day() | Coded():
            first, last = (given.show(given.value_at(place)) for place in (0, given.choices - 1))
            return _("%(low)s to %(high)s") % {"low": first, "high": last}
        case Digits():
            return _("%(count)s digits") % {"count": given.length}
        case Word():
            return ", ".join(_(option) for option in given.options)
    raise TypeError(f"{given.name} is of no known kind.")


def _read(given: Given) -> str:
    if not isinstance(given, Measured) or given.is_exact:
        return _("exact")
    return f"{written(given.resolution)} {given.shown_unit}".strip()


def tolerance_in_words(made: Problem) -> list[str]:
    """Return how far an answer may lie from this one, and how that comes about."""
    if made.calculation.kind is not AnswerKind.QUANTITY:
        return [_("The answer must be exactly this one.")]
    parts = made.tolerance_with(())
    told = [_("An answer within %(whole)s of this one is right.") % {"whole": _amount(parts.total, made)}]
    reasons = (
        (parts.rounding, _("%(part)s of it is half of the last place to which the answer is rounded.")),
        (parts.readings, _("%(part)s comes from how precisely the givens are read.")),
        (parts.steps, _("%(part)s leaves room for rounding each step as it is shown.")),
        (parts.figures, _("%(part)s leaves room for other figures in use for its constants.")),
    )
    return told + [words % {"part": _amount(part, made)} for part, words in reasons if part > 0]


def _amount(part: float, made: Problem) -> str:
    return f"{written(float(f'{part:.{_FIGURES}g}'))} {made.unit}".strip()


def source_rows(references: tuple[Reference, ...]) -> list[tuple[str, str]]:
    """Return each source, and how it is known."""
    return [(reference.text, _how_known(reference.how_known)) for reference in references]


def _how_known(how: HowKnown) -> str:
    words = {
        HowKnown.READ: _("read in the source named"),
        HowKnown.MEMORY: _("from memory"),
        HowKnown.PRACTICE: _("common practice, no source"),
        HowKnown.DERIVED: _("derived here"),
    }
    return words[how]
