"""What is kept of an answer, in practice and in a check."""

from dataclasses import dataclass

from assessments.generation import Problem
from assessments.marking import Mark
from assessments.vocabulary import Help, Verdict

# Fits every database's whole numbers, and a person can read it out.
SEED_BELOW = 2**31


LONGEST_SECONDS = 24 * 60 * 60


@dataclass(frozen=True, slots=True)
class StepAnswer:
    """What was typed into a blank step, counted from 0, and its mark. The unit is printed beside the field."""

    place: int
    typed: str
    mark: Mark

    @property
    def is_right(self) -> bool:
        """Return whether the step is right."""
        return self.mark.verdict in {Verdict.RIGHT, Verdict.UNIT_MISSING}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A typed answer to a problem, marked, how long it took, and how much of the working was on the page."""

    problem: Problem
    typed: str
    mark: Mark
    seconds: int | None = None
    help: Help = Help.NONE
    steps: tuple[StepAnswer, ...] = ()

    @property
    def kept_steps(self) -> list[dict[str, object]]:
        """Return the answers to blank steps as they are kept."""
        return [
            {
                "step": step.place + 1,
                "typed": step.typed,
                "verdict": step.mark.verdict.value,
                "slips": [slip.name for slip in step.mark.slips],
                "is_right": step.is_right,
            }
            for step in self.steps
        ]


def kept(answered: Answered) -> dict[str, object]:
    """Return the columns that keep an answer, with its problem as it was shown."""
    made = answered.problem
    return {
        "calculation": made.calculation.code,
        "seed": made.seed,
        "givens": made.stated_givens,
        "answer": made.stated_answer,
        "typed": answered.typed,
        "verdict": answered.mark.verdict.value,
        "slips": [slip.name for slip in answered.mark.slips],
    }
