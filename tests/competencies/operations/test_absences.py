"""Being away: the short one is only in the plan, the long one acts on the standing."""

from datetime import timedelta

import pytest

from competencies.models import Absence, LedgerIndex
from competencies.operations.absences import AbsenceError, Away, change_return, record_absence
from competencies.queries.absences import absences_of
from competencies.queries.facts import facts_of_people, rules_of
from competencies.standing.facts import SITE
from competencies.standing.facts import Absence as AbsenceFact
from competencies.vocabulary import Criticality, EntryKind, Standing
from tests.factories import at, days_ago, hold, make_floor, make_person, make_plant, office

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("days", "entries"), [(1, 0), (89, 0), (90, 1), (200, 1)])
def test_only_a_long_absence_goes_into_the_ledger(days, entries):
    person = make_person(make_plant())
    away = Away(from_on=days_ago(3), until_on=days_ago(3) + timedelta(days=days - 1))

    row = record_absence(person=person, away=away, by=office(person.plant), now=at(days_ago(3)))

    assert Absence.objects.get() == row
    assert (row.from_on, row.until_on) == (away.from_on, away.until_on)
    assert LedgerIndex.objects.filter(kind=EntryKind.ABSENCE, person=person.pk).count() == entries


def test_the_ledger_holds_the_last_day_worked_and_the_first_day_back():
    person = make_person(make_plant())
    away = Away(from_on=days_ago(100), until_on=days_ago(1))

    record_absence(person=person, away=away, by=office(person.plant), now=at(days_ago(100)))

    [fact] = (fact for fact in facts_of_people([person.pk])[person.pk] if isinstance(fact, AbsenceFact))
    assert (fact.on, fact.back_on) == (days_ago(101), days_ago(0))


def test_a_long_absence_makes_a_critical_task_stale():
    floor = make_floor(criticality=Criticality.FOOD)
    hold(floor.trainee, floor.task, assessed=200)
    away = Away(from_on=days_ago(120), until_on=days_ago(2))

    record_absence(person=floor.trainee, away=away, by=office(floor.plant), now=at(days_ago(120)))

    timeline = rules_of([floor.trainee])[floor.trainee.pk].timeline(floor.task.code, SITE)
    assert timeline.at(at(days_ago(1))).standing is Standing.STALE
    assert timeline.at(at(days_ago(121))).standing is Standing.IN_FORCE


def test_an_absence_cannot_end_before_it_begins():
    person = make_person(make_plant())
    away = Away(from_on=days_ago(1), until_on=days_ago(2))

    with pytest.raises(AbsenceError, match="cannot end before it begins"):
        record_absence(person=person, away=away, by=office(person.plant), now=at(days_ago(1)))

    assert not Absence.objects.exists()


def test_nobody_is_away_twice_on_one_day():
    person = make_person(make_plant())
    record_absence(
        person=person,
        away=Away(from_on=days_ago(5), until_on=days_ago(3)),
        by=office(person.plant),
        now=at(days_ago(6)),
    )

    with pytest.raises(AbsenceError, match="already"):
        record_absence(
            person=person,
            away=Away(from_on=days_ago(3), until_on=days_ago(1)),
            by=office(person.plant),
            now=at(days_ago(6)),
        )

    assert Absence.objects.count() == 1


def test_back_sooner_takes_the_long_absence_back_and_keeps_it_readable():
    floor = make_floor(criticality=Criticality.FOOD)
    hold(floor.trainee, floor.task, assessed=200)
    by = office(floor.plant)
    away = Away(from_on=days_ago(120), until_on=days_ago(2))
    absence = record_absence(person=floor.trainee, away=away, by=by, now=at(days_ago(120)))

    change_return(absence=absence, until_on=days_ago(60), by=by, now=at(days_ago(59)))

    timeline = rules_of([floor.trainee])[floor.trainee.pk].timeline(floor.task.code, SITE)
    assert timeline.at(at(days_ago(1))).standing is Standing.IN_FORCE
    kinds = LedgerIndex.objects.filter(person=floor.trainee.pk).values_list("kind", flat=True)
    assert [kind for kind in kinds if kind in {"absence", "correction"}] == [EntryKind.ABSENCE, EntryKind.CORRECTION]
    absence.refresh_from_db()
    assert absence.until_on == days_ago(60)


def test_back_later_makes_a_short_absence_a_long_one():
    floor = make_floor(criticality=Criticality.FOOD)
    hold(floor.trainee, floor.task, assessed=200)
    by = office(floor.plant)
    absence = record_absence(
        person=floor.trainee, away=Away(from_on=days_ago(100), until_on=days_ago(40)), by=by, now=at(days_ago(100))
    )

    change_return(absence=absence, until_on=days_ago(2), by=by, now=at(days_ago(41)))

    timeline = rules_of([floor.trainee])[floor.trainee.pk].timeline(floor.task.code, SITE)
    assert timeline.at(at(days_ago(1))).standing is Standing.STALE
    [shown] = absences_of(floor.trainee, on=days_ago(0))
    assert (shown.days, shown.long_from_on) == (99, days_ago(11))
    assert [step.action for step in shown.steps] == ["run"]


@pytest.mark.parametrize("size", [1, 4])
def test_the_list_costs_the_same_queries_at_any_size(size, django_assert_num_queries):
    person = make_person(make_plant())
    for number in range(size):
        day = days_ago(300 - 10 * number)
        record_absence(person=person, away=Away(from_on=day, until_on=day), by=office(person.plant), now=at(day))
    absences_of(person, on=days_ago(0))

    with django_assert_num_queries(3):
        found = absences_of(person, on=days_ago(0))

    assert len(found) == size
