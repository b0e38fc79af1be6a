"""Being away: the short one is only in the plan, the long one acts on the standing."""

from datetime import timedelta

import pytest

from competencies.models import Absence, LedgerIndex
from competencies.operations.absences import AbsenceError, Away, record_absence
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
