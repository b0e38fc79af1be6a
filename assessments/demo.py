"""Checks and practice in the demo plant: real problems, answered as people answer them."""

import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from random import Random

from assessments.calculations import for_framework_code
from assessments.generation import Problem, problem, problem_of
from assessments.marking import mark
from assessments.models import CheckSitting
from assessments.operations.answering import SEED_BELOW, Answered
from assessments.operations.checks import answer_check, finish_check, open_check, start_check
from assessments.operations.practice import keep_attempt
from competencies.demo.quizzes import PASS_MARK, PROBLEMS, CheckTaken, OnPaper
from competencies.models import Person

SECONDS_A_PROBLEM = (40, 130)
RIGHT_IN_PRACTICE = 0.7


class DemoQuizzes:
    """Lets the people of the demo plant work real problems."""

    def take_check(self, taken: CheckTaken) -> None:
        """Answer the problems of a check, so many of them right, and enter its result into the ledger."""
        if not for_framework_code(taken.calculation):
            OnPaper().take_check(taken)
            return
        sitting = open_check(
            trainee=taken.trainee,
            opened_by=taken.opened_by,
            calculation=taken.calculation,
            problems=PROBLEMS,
            pass_mark=PASS_MARK,
            now=taken.opened_at,
        )
        # The same story on every loading: the problems that were drawn give way to those of the demo's own chance.
        sitting.problem_seeds = [[code, taken.chance.randrange(SEED_BELOW)] for code, _ in sitting.problem_seeds]
        CheckSitting.objects.filter(pk=sitting.pk).update(problem_seeds=sitting.problem_seeds)
        start_check(sitting=sitting, now=taken.opened_at)
        right = set(taken.chance.sample(range(PROBLEMS), taken.right))
        step = (taken.finished_at - taken.opened_at) / (PROBLEMS + 1)
        for place, (code, seed) in enumerate(sitting.problem_seeds):
            made = problem(code, seed)
            typed = typed_answer(made, taken.chance, is_right=place in right)
            at = taken.opened_at + (place + 1) * step
            answer_check(sitting=sitting, number=place + 1, typed=typed, mark=mark(made, typed), now=at)
        finish_check(sitting=sitting, on=taken.on, now=taken.finished_at)

    def practise(self, person: Person, calculation: str, chance: Random, now: datetime) -> None:
        """Work one problem of each kind in practice."""
        for place, kind in enumerate(for_framework_code(calculation)):
            made = problem_of(kind, chance.randrange(SEED_BELOW))
            typed = typed_answer(made, chance, is_right=chance.random() < RIGHT_IN_PRACTICE)
            answered = Answered(
                problem=made, typed=typed, mark=mark(made, typed), seconds=chance.randint(*SECONDS_A_PROBLEM)
            )
            token = uuid.UUID(int=chance.getrandbits(128), version=4)
            keep_attempt(person=person, answered=answered, token=token, now=now + timedelta(minutes=2 * place))


def typed_answer(made: Problem, chance: Random, *, is_right: bool) -> str:
    """Return what somebody types who works the problem rightly, or with one of the usual slips."""
    if is_right:
        return made.stated_answer
    wrong = [text for text in _slipped(made) if not mark(made, text).is_right]
    return chance.choice(wrong) if wrong else "1"


def _slipped(made: Problem) -> Iterable[str]:
    for slip in made.slips:
        yield f"{made.calculation.answer.show(made.slip_value(slip))} {made.unit}".strip()
