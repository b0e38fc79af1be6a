"""What pages show of a problem and a mark, ready for the templates."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.calculations import UnknownCalculationError
from assessments.calculations.frame import Measured, Slip
from assessments.generation import Problem, problem_again
from assessments.marking import Mark, mark
from assessments.models import CheckAnswer, PracticeAttempt
from assessments.notation import Look, math_element
from assessments.queries.library import Library
from assessments.vocabulary import Verdict

#: So many other slips are named beside the likeliest: more would not help.
MOST_OTHERS = 3
_RAISED = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


@dataclass(frozen=True, slots=True)
class ShownGiven:
    """One given as the problem states it."""

    says: str
    symbol: SafeString
    value: str
    unit: str


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One step of the working: what it finds, the formula with symbols and with numbers, the result."""

    says: str
    symbols: SafeString
    numbers: SafeString
    result: str
    unit: str


@dataclass(frozen=True, slots=True)
class Told:
    """A mark in words: its tone (good, info or warn), a heading, and lines of advice."""

    kind: str
    title: str
    points: tuple[str, ...] = ()
    text: str = ""


def shown_givens(problem: Problem) -> list[ShownGiven]:
    """Return the givens of a problem for its table."""
    return [
        ShownGiven(
            says=_(given.says),
            # What is no number stands in the working by its name, which says nothing beside its words.
            symbol=shown_symbol(given.symbol) if isinstance(given, Measured) else SafeString(""),
            value=_(given.show(problem.givens[given.name])),
            unit=given.shown_unit,
        )
        for given in problem.calculation.givens
    ]


def shown_symbol(symbol: str) -> SafeString:
    """Return a symbol as it stands in formulas."""
    return SafeString(math_element(Look().symbol(symbol), display="inline"))


def shown_steps(problem: Problem, slips: tuple[Slip, ...] = ()) -> list[ShownLine]:
    """Return the worked steps, or the working with slips made, with MathML that is ours and already escaped."""
    return [
        ShownLine(
            says=_(step.says),
            symbols=SafeString(step.symbols),
            numbers=SafeString(step.numbers),
            result=_(step.result),
            unit=step.unit,
        )
        for step in problem.steps(slips)
    ]


def told(problem: Problem, marked: Mark) -> Told:
    """Return a mark in words, kindly and with what to do about it."""
    kind, title = _words()[marked.verdict]
    return Told(kind=kind, title=title, points=tuple(_points(problem, marked)))


def _words() -> dict[Verdict, tuple[str, str]]:
    return {
        Verdict.RIGHT: ("good", _("Right.")),
        Verdict.UNIT_MISSING: ("info", _("The number is right; the unit is missing.")),
        Verdict.UNIT_WRONG: ("info", _("The value is right, but not in the unit asked for.")),
        Verdict.TOO_COARSE: ("info", _("Right, but rounded too far.")),
        Verdict.SLIP: ("warn", _("Not yet: a usual slip.")),
        Verdict.TWO_SLIPS: ("warn", _("Not yet: two usual slips at once.")),
        Verdict.POWER_OF_TEN: ("warn", _("Not yet: a power of ten is off.")),
        Verdict.OTHER: ("warn", _("Not yet.")),
    }


def _points(problem: Problem, marked: Mark) -> list[str]:
    unit = problem.unit
    points = [f"{_(slip.name).capitalize()}. {_(slip.advice)}" for slip in marked.slips]
    if marked.verdict is Verdict.TOO_COARSE:
        points += [_places(problem.calculation.answer.decimals), _("Round once, at the end.")]
    if marked.verdict is Verdict.POWER_OF_TEN:
        factor = f"10{str(marked.power).translate(_RAISED)}"
        points.append(
            _("Your answer is %(factor)s times the right one: check hL and L, g and kg.") % {"factor": factor}
        )
    if marked.others:
        points.append(_("The same answer can come of: %(slips)s.") % {"slips": _other_slips(marked)})
    if marked.unit_missing:
        points.append(_("A number without its unit can be misread. Here it is %(unit)s.") % {"unit": unit})
    if marked.unit_wrong:
        points.append(_("The unit asked for is %(unit)s.") % {"unit": unit})
    if marked.verdict is Verdict.OTHER:
        points.append(_("Compare your working with the steps below."))
    return points


def _places(places: int) -> str:
    if places == 0:
        return _("Here the trade gives the whole number.")
    said = ngettext(
        "Here the trade gives %(places)s decimal place.", "Here the trade gives %(places)s decimal places.", places
    )
    return said % {"places": places}


def _other_slips(marked: Mark) -> str:
    shown = (_(" and ").join(_(slip.name) for slip in slips) for slips in marked.others[:MOST_OTHERS])
    return "; ".join(shown)


@dataclass(frozen=True, slots=True)
class Result:
    """A kept answer as it is read later.

    Mark and steps are worked again from the seed; where the calculation has changed since, only what was kept is
    shown, and `steps` is empty.
    """

    kept: PracticeAttempt | CheckAnswer
    told: Told
    steps: list[ShownLine]
    slipped_steps: list[ShownLine]


def result_of(kept: PracticeAttempt | CheckAnswer, library: Library) -> Result:
    """Return a kept answer with its mark in words and the worked steps."""
    made = _worked_again(kept, library)
    if made is None:
        kind, title = _words()[Verdict(kept.verdict)]
        return Result(kept, Told(kind, title, tuple(kept.slips)), [], [])
    marked = mark(made, kept.typed)
    slipped = shown_steps(made, marked.slips) if marked.slips else []
    return Result(kept, told(made, marked), shown_steps(made), slipped)


def _worked_again(kept: PracticeAttempt | CheckAnswer, library: Library) -> Problem | None:
    try:
        kind = library.kind(kept.calculation)
    except UnknownCalculationError:
        return None
    return problem_again(kind, kept.seed, stated_givens=kept.givens, stated_answer=kept.answer)
