"""The worked calculations of the demo: done by whatever app knows how to set them, which this one does not.

The app registers itself when it starts; without it a check is entered as one that was taken on paper.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from random import Random
from typing import Protocol

from competencies.models import Person
from competencies.operations.pins import Signer
from competencies.operations.runs import CheckResult, record_check

PROBLEMS, PASS_MARK = 5, 4


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckTaken:
    """A check that a trainee took: which calculation, who opened it, how many answers were right, and when."""

    trainee: Person
    opened_by: Signer
    calculation: str
    right: int
    on: date
    opened_at: datetime
    finished_at: datetime
    chance: Random


class Quizzes(Protocol):
    """What an app of calculations can do for the demo."""

    def take_check(self, taken: CheckTaken) -> None:
        """Let the trainee answer the problems of a check, and enter its result into the ledger."""

    def practise(self, person: Person, calculation: str, chance: Random, now: datetime) -> None:
        """Let the person answer one problem in practice, right or with a slip."""

    def inspect(self, person: Person, chance: Random, now: datetime) -> None:
        """Let the person judge a series of drawings in practice."""

    def add_own(self, office: Signer, now: datetime) -> None:
        """Let the office add the calculations that only this plant needs."""


class OnPaper:
    """Checks as they were taken before there was a tablet: only the result is known, and nobody practises."""

    def take_check(self, taken: CheckTaken) -> None:
        """Enter the result."""
        record_check(
            trainee=taken.trainee,
            opened_by=taken.opened_by,
            result=CheckResult(
                calculation=taken.calculation, problems=PROBLEMS, right=taken.right, pass_mark=PASS_MARK
            ),
            happened_at=taken.finished_at - timedelta(minutes=1),
            on=taken.on,
            now=taken.finished_at,
        )

    def practise(self, person: Person, calculation: str, chance: Random, now: datetime) -> None:
        """Do nothing: practice on paper is nobody's record."""

    def inspect(self, person: Person, chance: Random, now: datetime) -> None:
        """Do nothing: there are no drawings on paper."""

    def add_own(self, office: Signer, now: datetime) -> None:
        """Do nothing: a sheet of paper needs no program."""


_registered: list[Quizzes] = []


def register(quizzes: Quizzes) -> None:
    """Let an app's quizzes be used from now on."""
    _registered.append(quizzes)


def quizzes_in_use() -> Quizzes:
    """Return the quizzes that were registered last, or those on paper."""
    return _registered[-1] if _registered else OnPaper()
