"""Which answers come into the figures of items and checks, and at what cost."""

import uuid

import pytest

from assessments.calculations import calculation
from assessments.models import PracticeAttempt
from assessments.queries.item_statistics import item_report
from assessments.vocabulary import Verdict
from tests import factories as make
from tests.assessments.sat_checks import sat

pytestmark = pytest.mark.django_db
RIGHT, SLIP = Verdict.RIGHT, Verdict.SLIP


@pytest.fixture
def floor():
    return make.make_floor()


def report(floor, since=60, until=0):
    return item_report(floor.plant, since=make.days_ago(since), on=make.days_ago(until))


def counted(found):
    return {item.figures.item: item.figures.answers for item in found.items}


def test_finished_checks_of_the_plant_count_and_nothing_else(floor):
    sat(floor.trainee, floor.trainer, [RIGHT, SLIP])
    sat(floor.trainee, floor.trainer, [RIGHT, SLIP], finished=False)
    there = make.make_plant("birch-wharf", "Birch Wharf")
    sat(make.make_person(there), make.make_person(there), [RIGHT])
    PracticeAttempt.objects.create(
        person=floor.trainee, calculation="C03-strike", seed=1, givens={}, answer="1", typed="2", verdict="other",
        at=make.at(make.days_ago(3)), token=uuid.uuid4(),
    )  # fmt: skip

    assert counted(report(floor)) == {"C03-strike": 2}


def test_period_takes_both_its_days_in(floor):
    for ago in (10, 5, 1):
        sat(floor.trainee, floor.trainer, [RIGHT], ago=ago)

    assert counted(report(floor, 10, 5)) == {"C03-strike": 2}
    assert counted(report(floor, 9, 6)) == {}


def test_items_know_their_checks_and_their_kind(floor):
    sat(floor.trainee, floor.trainer, [RIGHT, RIGHT], item=["C08-volume", "C03-strike"])
    sat(floor.trainee, floor.trainer, [RIGHT, RIGHT], item=["C03-strike", "C99-gone"])

    found = {item.figures.item: item for item in report(floor).items}

    assert found["C03-strike"].checks == ("C03", "C08")
    assert found["C03-strike"].kind == calculation("C03-strike")
    assert found["C99-gone"].kind is None


def test_checks_are_told_apart_by_code_length_and_mark(floor):
    sat(floor.trainee, floor.trainer, [RIGHT, RIGHT, SLIP], pass_mark=2)
    sat(floor.trainee, floor.trainer, [RIGHT, SLIP, SLIP], pass_mark=2)
    sat(floor.trainee, floor.trainer, [RIGHT, RIGHT, RIGHT], pass_mark=3)

    found = report(floor).checks

    assert [(check.calculation, check.problems, check.pass_mark) for check in found] == [("C03", 3, 2), ("C03", 3, 3)]
    assert [(check.reliability.sittings, check.passed) for check in found] == [(2, 1), (1, 1)]


def test_slips_and_times_are_counted(floor):
    sat(floor.trainee, floor.trainer, [SLIP, RIGHT], slips=["grain warmth left out"], seconds=90)

    [item] = report(floor).items

    assert item.figures.slips == (("grain warmth left out", 1),)
    assert item.figures.seconds.middle == 90


@pytest.mark.parametrize("size", [1, 5])
def test_report_costs_the_same_queries_at_any_size(floor, django_assert_num_queries, size):
    for _ in range(size):
        sat(make.make_person(floor.plant), floor.trainer, [RIGHT, SLIP])

    with django_assert_num_queries(2):
        assert report(floor).items[0].figures.answers == 2 * size
