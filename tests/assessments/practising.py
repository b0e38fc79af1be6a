"""Answers in practice for the tests, kept through the operation as a page keeps them."""

import uuid
from datetime import timedelta

from django.utils import timezone

from assessments.generation import problem
from assessments.marking import mark
from assessments.operations.answering import Answered
from assessments.operations.practice import keep_attempt
from assessments.vocabulary import Help

CODE = "C03-strike"


def practise(person, code=CODE, *, seed=1, is_right=True, ago=timedelta(), **fields):
    """Keep an answer of a person so long ago: the right one, or one with the first slip."""
    made = problem(code, seed)
    typed = made.stated_answer if is_right else slipped(made)
    answered = Answered(problem=made, typed=typed, mark=mark(made, typed), **{"help": Help.NONE, **fields})
    return keep_attempt(person=person, answered=answered, token=uuid.uuid4(), now=timezone.now() - ago)


def slipped(made):
    """Return what somebody types who makes the first slip."""
    return f"{made.calculation.answer.show(made.slip_value(made.slips[0]))} {made.unit}".strip()
