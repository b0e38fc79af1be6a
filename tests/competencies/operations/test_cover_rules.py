"""What may be declared about the stations of a line."""

import pytest

from competencies.models import CoverRule
from competencies.operations.cover_rules import CoverRuleError, Declaration, declare_cover_rule, end_cover_rule
from competencies.queries.cover_rules import declared_of, rules_at
from competencies.vocabulary import CoverRuleKind
from tests import factories as make

pytestmark = pytest.mark.django_db
MORNING, NOON = make.at(make.days_ago(2)), make.at(make.days_ago(1))


@pytest.fixture
def stations(floor):
    tasks = [floor.task, *(make.make_task(floor.area, f"PK-0{number}") for number in (2, 3))]
    return [make.make_station(floor.line, task) for task in tasks]


def declare(floor, kind, *, now=MORNING, **fields):
    told = Declaration(line=floor.line, kind=CoverRuleKind(kind), **fields)
    return declare_cover_rule(told=told, by=floor.assessor, now=now)


def held(floor, at):
    return rules_at([floor.line], declared_of([floor.line]), at=at)[floor.line.pk]


def test_a_pair_is_kept_with_who_and_when_in_either_order(floor, stations):
    one, other, _third = stations

    rule = declare(floor, "combinable", first=other, second=one)

    assert (rule.first, rule.second, rule.set_by, rule.set_at) == (one, other, floor.assessor, MORNING)
    assert held(floor, MORNING).combinable == {(one.pk, other.pk)}
    assert held(floor, make.at(make.days_ago(3))).combinable == frozenset()


def test_what_was_ended_holds_for_what_began_before(floor, stations):
    rule = declare(floor, "neighbours", first=stations[0], second=stations[1])

    end_cover_rule(rule=rule, by=floor.trainer, now=NOON)

    rule.refresh_from_db()
    assert (rule.ended_at, rule.ended_by) == (NOON, floor.trainer)
    assert held(floor, MORNING).neighbours
    assert not held(floor, NOON).neighbours
    declare(floor, "neighbours", now=NOON, first=stations[0], second=stations[1])


def test_ending_twice_keeps_who_ended_it_first(floor, stations):
    rule = declare(floor, "relief")
    end_cover_rule(rule=rule, by=floor.trainer, now=NOON)

    end_cover_rule(rule=rule, by=floor.assessor, now=make.at(make.days_ago(0)))

    rule.refresh_from_db()
    assert rule.ended_by == floor.trainer


@pytest.mark.parametrize("kind", ["combinable", "neighbours"])
def test_a_pair_is_two_different_stations_once(floor, stations, kind):
    one, other, _third = stations
    declare(floor, kind, first=one, second=other)

    for first, second in ((one, one), (other, one), (one, None)):
        with pytest.raises(CoverRuleError) as refused:
            declare(floor, kind, first=first, second=second)
        assert refused.value.field == "second"
    assert CoverRule.objects.count() == 1


def test_a_station_of_another_line_is_refused(floor, stations):
    elsewhere = make.make_station(make.make_line(floor.plant, "L9"), floor.task)

    with pytest.raises(CoverRuleError) as refused:
        declare(floor, "combinable", first=stations[0], second=elsewhere)

    assert refused.value.field == "first"


def test_in_a_group_people_differ(floor, stations):
    one, other, third = stations
    for station in (one, other):
        declare(floor, "group", first=station, group="tank", role="any")
    declare(floor, "combinable", first=other, second=third)

    with pytest.raises(CoverRuleError):
        declare(floor, "combinable", first=one, second=other)
    with pytest.raises(CoverRuleError):
        declare(floor, "group", first=third, group="tank")
    with pytest.raises(CoverRuleError):
        declare(floor, "group", first=one, group="other tank")

    rules = held(floor, MORNING)
    assert not rules.may_share(one.pk, other.pk)
    assert rules.may_share(third.pk, other.pk)
    assert rules.parts[one.pk].group == "tank"


def test_relief_is_asked_for_once(floor, stations):
    declare(floor, "relief")

    with pytest.raises(CoverRuleError):
        declare(floor, "relief")

    assert held(floor, MORNING).relief_wanted
