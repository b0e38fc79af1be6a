"""Worksheets: their problems are drawn and kept in one act."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from assessments.calculations.frame import Calculation
from assessments.generation import problem_of
from assessments.models import Worksheet, WorksheetCopy
from assessments.operations.answering import SEED_BELOW
from competencies.models import Person, Plant


@dataclass(frozen=True, slots=True, kw_only=True)
class WorksheetChoice:
    """What a worksheet holds: its kinds in turn, so many problems, a copy a person, or one without a name.

    With `own_figures` every copy has figures of its own, so that nobody can copy from a neighbour.
    """

    title: str
    kinds: Sequence[Calculation]
    problems: int
    people: Sequence[Person] = ()
    own_figures: bool = True


@transaction.atomic
def make_worksheet(*, plant: Plant, choice: WorksheetChoice, seed: int, by: Person, now: datetime) -> Worksheet:
    """Draw the problems of a worksheet and keep them.

    Raises
    ------
    ValueError
        When no kind of calculation or no problem is asked for.
    """
    if not choice.kinds or choice.problems < 1:
        raise ValueError("A worksheet has at least one problem of one kind.")
    worksheet = Worksheet.objects.create(plant=plant, title=choice.title, seed=seed, made_by=by, made_at=now)
    people: Sequence[Person | None] = choice.people or (None,)
    copies = [
        WorksheetCopy(
            worksheet=worksheet,
            number=number,
            person=person,
            problems=_drawn(choice, seed=seed, copy=number if choice.own_figures else 1),
        )
        for number, person in enumerate(people, start=1)
    ]
    WorksheetCopy.objects.bulk_create(copies)
    return worksheet


def _drawn(choice: WorksheetChoice, *, seed: int, copy: int) -> list[dict[str, object]]:
    problems: list[dict[str, object]] = []
    for place in range(choice.problems):
        kind = choice.kinds[place % len(choice.kinds)]
        made = problem_of(kind, problem_seed(seed, copy=copy, place=place))
        problems.append(
            {"calculation": kind.code, "seed": made.seed, "givens": made.stated_givens, "answer": made.stated_answer}
        )
    return problems


def problem_seed(seed: int, *, copy: int, place: int) -> int:
    """Return the seed of one problem of a worksheet, the same on every machine."""
    digest = hashlib.sha256(f"{seed}:{copy}:{place}".encode()).digest()
    return int.from_bytes(digest[:16], "big") % SEED_BELOW
