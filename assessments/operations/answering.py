"""What is kept of an answer, in practice and in a check."""

from dataclasses import dataclass

from assessments.generation import Problem
from assessments.marking import Mark

# Fits every database's whole numbers, and a person can read it out.
SEED_BELOW = 2**31


LONGEST_SECONDS = 24 * 60 * 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """A typed answer to a problem, marked, and how long it took."""

    problem: Problem
    typed: str
    mark: Mark
    seconds: int | None = None


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
