"""How assessors judge: the page, what it counts, and who sees whose figures (R15.3)."""

import pytest
from django.urls import reverse

from competencies.operations.decisions import Verdict, When, assess
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed
from competencies.queries.judges import judges
from competencies.vocabulary import AuthorityKind, Judgement, Outcome
from tests import factories as make

pytestmark = pytest.mark.django_db
URL = "competencies:judges"


def judge(floor, *, trainee=None, met=2, ago=2):
    """Record an assessment of the small floor's task by its assessor, ready or not made so by runs."""
    trainee = trainee or make.make_person(floor.plant)
    for before in (ago + 2, ago + 1):
        make.run(trainee, floor.task, floor.trainer, ago=before)
    day = make.days_ago(ago)
    judged = {number: Judgement.MET if number <= met else Judgement.NOT_MET for number in (1, 2)}
    outcome = Outcome.COMPETENT if met == 2 else Outcome.NOT_YET_COMPETENT
    return assess(
        on_task=OnTask(person=trainee, task=floor.task),
        assessor=make.signer(floor.assessor),
        verdict=Verdict(outcome=outcome, revision=1, observed=Observed(judged=judged)),
        when=When(happened_at=make.at(day, "15:00"), on=day, now=make.at(day, "15:00")),
    )


def found(floor):
    return judges(floor.plant, now=make.at(make.today(), "12:00"))


def row_of(floor, person):
    return next(row for row in found(floor).rows if row.person == person)


def test_nothing_is_said_from_nine_performances_and_something_from_ten(floor):
    for _ in range(9):
        judge(floor)
    assert row_of(floor, floor.assessor).leniency is None

    judge(floor)

    row = row_of(floor, floor.assessor)
    assert (row.performances, row.leniency.performances, row.leniency.met_pct) == (10, 10, 100)


def test_a_criterion_nobody_missed_is_named_until_somebody_does(floor):
    for _ in range(10):
        judge(floor)
    # Trainer and assessor were judged too, when they took the task up.
    assert [(each.number, each.seen) for each in found(floor).never_unmet] == [(1, 12), (2, 12)]

    judge(floor, met=1)

    assert [(each.number, each.seen) for each in found(floor).never_unmet] == [(1, 13)]


def test_a_task_that_all_learned_from_one_is_named(floor):
    for _ in range(2):
        judge(floor)
    [only] = found(floor).one_trainer
    assert (only.task, only.trainer, only.holders) == (floor.task, floor.trainer, 2)

    another = make.make_person(floor.plant)
    make.hold(another, floor.task, assessed=60)
    trainee = make.make_person(floor.plant)
    make.run(trainee, floor.task, another, ago=5)
    judge(floor, trainee=trainee)

    assert found(floor).one_trainer == []


@pytest.mark.parametrize("size", [1, 6])
def test_it_costs_the_same_queries_at_any_size(floor, size, django_assert_num_queries):
    for _ in range(size):
        judge(floor)

    with django_assert_num_queries(QUERIES):
        assert row_of(floor, floor.assessor).performances == size


def test_the_coordinator_sees_all_and_an_assessor_only_their_own(client, floor, office):
    judge(floor)
    text = office.get(reverse(URL)).content.decode()
    assert "Maren Oduya" in text
    assert "Tasks all learned from one trainer" in text
    assert "Too few performances: nothing is said." in text

    other = make.make_person(floor.plant, "Ottoline Reyes")
    make.grant(other, AuthorityKind.ASSESS)
    client.force_login(other.user)
    text = client.get(reverse(URL)).content.decode()
    assert "Maren Oduya" not in text
    assert "Tasks all learned from one trainer" not in text


@pytest.mark.parametrize("name", ["trainee", "trainer"])
def test_others_do_not_see_it(client, floor, name):
    client.force_login(getattr(floor, name).user)

    assert client.get(reverse(URL)).status_code == 403


QUERIES = 7
