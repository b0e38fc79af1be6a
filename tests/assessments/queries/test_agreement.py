"""Agreement over people and quantities: who reads how, in which order, at what cost."""

import pytest

from assessments.queries.agreement import agreement_overview, person_agreement, person_quantity, quantity_people
from assessments.queries.readings import quantity_of
from assessments.statistics.agreement import Finding
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db
HIGH = [("41.9", "40.0"), ("41.8", "40.0"), ("42.0", "40.0")] * 2
ALIKE = [("40.0", "40.1"), ("40.1", "40.0"), ("40.0", "40.0")] * 2


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def reading(floor):
    return make.add_reading(floor.task)


@pytest.fixture
def peer(floor):
    return make.make_person(floor.plant, "Ana Brandt")


def runs(floor, trainee, pairs, *, by=None, task=None):
    for ago, (own, other) in enumerate(pairs, start=2):
        make.run(trainee, task or floor.task, by or floor.trainer, ago=ago, readings=[make.pair(own, other)])


def period():
    return {"since": make.days_ago(60), "on": make.today()}


def test_person_sees_bias_and_verdict_of_each_quantity(floor, reading):
    runs(floor, floor.trainee, HIGH)

    [found] = person_agreement(floor.trainee, **period()).as_trainee

    assert found.found.pairs == 6
    assert found.found.bias == pytest.approx(1.9)
    assert (found.finding, found.beyond) == (Finding.READS_OFF, 6)


def test_who_watched_sees_the_same_from_the_other_side(floor, reading):
    runs(floor, floor.trainee, HIGH)

    found = person_agreement(floor.trainer, **period())

    assert found.as_trainee == []
    assert [each.found.bias for each in found.as_watcher] == [pytest.approx(-1.9)]


def test_quantity_tells_who_drifts_and_who_watched(floor, reading, peer):
    runs(floor, floor.trainee, HIGH)
    runs(floor, peer, ALIKE, by=floor.assessor)

    found = quantity_people(floor.plant, quantity_of(reading, on=make.today()), **period())

    assert found.compared.found.pairs == 12
    assert [(each.person, each.compared.finding) for each in found.trainees] == [
        (floor.trainee, Finding.READS_OFF),
        (peer, Finding.AGREES),
    ]
    assert (found.watchers[0].person, found.watchers[0].compared.finding) == (floor.trainer, Finding.READS_OFF)
    assert found.watchers[0].compared.found.bias < 0


def test_a_quantity_that_nobody_read_has_nothing_to_compare(floor, reading):
    quantity = quantity_of(reading, on=make.today())

    assert quantity_people(floor.plant, quantity, **period()).compared is None
    assert person_quantity(floor.trainee, quantity, **period()).compared is None


def test_pairs_of_a_person_are_the_trainees_own_newest_first(floor, reading, peer):
    make.grant(peer, AuthorityKind.TRAIN, area=floor.area)
    make.hold(peer, floor.task, assessed=50)
    runs(floor, floor.trainee, ALIKE[:2], by=peer)
    runs(floor, peer, ALIKE[:1])

    found = person_quantity(peer, quantity_of(reading, on=make.today()), **period())
    other = person_quantity(floor.trainee, quantity_of(reading, on=make.today()), **period())

    assert [row.watcher for row in found.rows] == [floor.trainer]
    assert [row.read.on for row in other.rows] == [make.days_ago(2), make.days_ago(3)]
    assert other.repeats is None


def test_what_is_read_twice_in_one_run_gives_repeatability(floor, reading):
    twice = [make.pair("40.0", "40.0"), make.pair("40.4", "40.0")]
    make.run(floor.trainee, floor.task, floor.trainer, readings=twice)

    found = person_quantity(floor.trainee, quantity_of(reading, on=make.today()), **period())

    assert found.repeats.freedom == 1
    assert found.repeats.deviation == pytest.approx(0.4 / 2**0.5)


def test_overview_has_what_is_to_be_gone_through_first(floor, reading, peer):
    other = make.make_task(floor.area, "PK-00")
    make.add_reading(other, "overlap")
    for person in (floor.trainer, floor.assessor):
        make.hold(person, other, assessed=60)
    runs(floor, floor.trainee, ALIKE, task=other)
    runs(floor, floor.trainee, HIGH)
    runs(floor, peer, ALIKE)

    found = agreement_overview(floor.plant, **period())

    assert [(each.compared.quantity.name, each.people, each.astray) for each in found] == [
        ("fill height", 2, 1),
        ("overlap", 1, 0),
    ]


@pytest.mark.parametrize("size", [1, 4])
def test_reads_cost_the_same_at_any_size(floor, reading, django_assert_num_queries, size):
    for number in range(size):
        make.add_reading(floor.task, f"reading {number}")
        runs(floor, make.make_person(floor.plant), ALIKE[:2])
    quantity = quantity_of(reading, on=make.today())

    with django_assert_num_queries(4):
        assert agreement_overview(floor.plant, **period())[0].people == size
    with django_assert_num_queries(5):
        assert len(quantity_people(floor.plant, quantity, **period()).trainees) == size
    with django_assert_num_queries(4):
        assert person_agreement(floor.trainer, **period()).as_watcher[0].found.pairs == 2 * size
