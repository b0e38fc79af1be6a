"""Checks for the tests, opened through the operation."""

from django.utils import timezone

from assessments.models import CheckSitting
from assessments.operations.checks import open_check
from competencies.models import Person
from tests.factories import signer


def sitting_for(trainee: Person, opener: Person, *, calculation: str = "C03", problems: int = 5, pass_mark: int = 4):
    """Return an open check of a calculation for a trainee."""
    sitting: CheckSitting = open_check(
        trainee=trainee,
        opened_by=signer(opener),
        calculation=calculation,
        problems=problems,
        pass_mark=pass_mark,
        now=timezone.now(),
    )
    return sitting
