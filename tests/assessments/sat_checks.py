"""Finished checks for the tests, as they stand in the tables."""

from datetime import timedelta
from itertools import count

from assessments.models import CheckAnswer, CheckSitting
from assessments.vocabulary import Verdict
from tests import factories as make

_seqs = count(10_000)


def sat(trainee, opener, verdicts, *, ago=3, item="C03-strike", slips=(), seconds=60, pass_mark=None, finished=True):
    """Return a check sat so many days ago, answered with these verdicts; each slip answer names `slips`.

    `item` is the kind of every problem, or one for each.
    """
    at = make.at(make.days_ago(ago))
    kinds = [item] * len(verdicts) if isinstance(item, str) else item
    sitting = CheckSitting.objects.create(
        plant=trainee.plant,
        trainee=trainee,
        opened_by=opener,
        proof="pin",
        calculation=kinds[0].split("-")[0],
        problems=len(verdicts),
        pass_mark=pass_mark or len(verdicts),
        problem_seeds=[[kind, 1] for kind in kinds],
        opened_at=at,
        started_at=at,
        finished_at=at + timedelta(minutes=9) if finished else None,
        right=verdicts.count(Verdict.RIGHT) if finished else None,
        entry_seq=next(_seqs) if finished else None,
    )
    for number, (verdict, kind) in enumerate(zip(verdicts, kinds, strict=True), start=1):
        CheckAnswer.objects.create(
            sitting=sitting,
            number=number,
            calculation=kind,
            seed=1,
            givens={},
            answer="1",
            typed="1",
            verdict=verdict.value,
            slips=list(slips) if verdict is Verdict.SLIP else [],
            seconds=seconds,
            at=at,
        )
    return sitting
