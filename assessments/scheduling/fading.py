"""Which steps of a problem are shown, which are left blank, and how a blank one is marked.

A blank step is marked like an answer: it is a problem of its own, whose last step it is, with the same tolerance and
the slips that show up there. What has no unit and is no whole number (a word, a date, a plain factor) has no field of
its own: the person works it on the way to the answer.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from assessments.calculations.frame import Calculation
from assessments.generation import Problem
from assessments.notation import Line, Scope
from assessments.scheduling.progress import Stage
from assessments.vocabulary import AnswerKind, Help, Value

_BLANK: Final[Mapping[Stage, int]] = {Stage.READ: 1, Stage.LAST_BLANK: 1, Stage.LAST_TWO_BLANK: 2}


@dataclass(frozen=True, slots=True)
class Laid:
    """How a problem is laid out: the number of steps given, and of those shown because the person asked.

    `is_parted` when the steps that are not given are asked for one by one; else only the answer is.
    """

    problem: Problem
    given: int
    asked: int = 0
    is_parted: bool = False

    @property
    def total(self) -> int:
        """Return the number of steps."""
        return len(self.problem.calculation.steps)

    @property
    def shown(self) -> int:
        """Return how many steps are on the page, from the first one on."""
        return min(self.given + self.asked, self.total)

    @property
    def blanks(self) -> tuple[int, ...]:
        """Return the places of the steps to fill in, save the last one, which is the answer; none when alone."""
        if not self.is_parted:
            return ()
        return tuple(place for place in range(self.shown, self.total - 1) if step_problem(self.problem, place))

    @property
    def help(self) -> Help:
        """Return how much help that is."""
        if self.shown == self.total:
            return Help.WHOLE
        if self.asked:
            return Help.ASKED
        return Help.GIVEN if self.is_parted else Help.NONE


def laid(problem: Problem, stage: Stage, *, asked: int = 0) -> Laid:
    """Return the lay-out of a problem at a stage. A kind of one step has nothing to part, and stands alone."""
    total = len(problem.calculation.steps)
    given = max(total - _BLANK.get(stage, total), 0)
    return Laid(problem, given, asked, is_parted=total > 1 and stage is not Stage.ALONE)


def step_problem(problem: Problem, place: int) -> Problem | None:
    """Return the problem of finding one step, or None when that step cannot be asked for."""
    step = problem.calculation.steps[place]
    kind = _kind(step, Scope(problem.givens).value_of(step))
    if kind is None:
        return None
    return Problem(_calculation_of(problem.calculation, place, kind), problem.givens)


def _kind(step: Line, value: Value) -> AnswerKind | None:
    if not isinstance(value, int | float):
        return None
    if step.unit:
        return AnswerKind.QUANTITY
    return AnswerKind.WHOLE if float(value).is_integer() else None


def _calculation_of(calculation: Calculation, place: int, kind: AnswerKind) -> Calculation:
    step, names = calculation.steps[place], [given.name for given in calculation.givens]

    def work(*values: Value) -> Value:
        return Scope(dict(zip(names, values, strict=True))).value_of(step)

    steps = calculation.steps[: place + 1]
    return replace(calculation, steps=steps, work=work, kind=kind, options=(), must_use_unit=False)
