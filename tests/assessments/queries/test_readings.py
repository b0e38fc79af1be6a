"""Which pairs of readings count, and for whom."""

from datetime import timedelta
from decimal import Decimal

import pytest

from assessments.queries.readings import Asked, pairs_read, quantity_of
from competencies.models import Reading
from competencies.operations.annulments import Ruling, annul
from competencies.operations.corrections import correct
from competencies.operations.decisions import Verdict, When, assess
from competencies.operations.joining import Why, join_people, part_people
from competencies.operations.recording import OnTask
from competencies.operations.runs import Observed
from competencies.queries.facts import own_facts, rule_of
from competencies.standing.facts import SITE
from competencies.standing.replacing import Change, Instead
from competencies.vocabulary import AnnulmentCause, AuthorityKind, CorrectionCause, EntryKind, Judgement, Outcome
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    found = make.make_floor()
    make.add_reading(found.task)
    return found


@pytest.fixture
def office(floor):
    person = make.make_person(floor.plant, "Rhona Feld")
    make.grant(person, AuthorityKind.COORDINATE)
    return make.signer(person)


def run(floor, trainee, own="40.5", other="40.0", **details):
    return make.run(trainee, floor.task, floor.trainer, readings=[make.pair(own, other)], **details)


def read(floor, **asked):
    return pairs_read(Asked(**{"plant": floor.plant, "since": make.days_ago(90), "on": make.today(), **asked}))


def now():
    moment = make.at(make.today(), "00:00")
    return When(happened_at=moment, on=make.today(), now=moment)


def strike(of, seq, by, cause=CorrectionCause.ENTERED_IN_ERROR, **instead):
    fact = next(fact for fact in own_facts([of.pk])[of.pk] if fact.seq == seq)
    change = Change(cause=cause, reason="wrong tablet", instead=Instead(**instead) if instead else None)
    return correct(entry=fact, person=of, by=by, when=now(), change=change)


def test_a_pair_is_read_with_its_digits_its_people_and_its_quantity(floor):
    seq = run(floor, floor.trainee, "40.50", "40.1").seq

    [found] = read(floor)

    assert (found.seq, found.kind, found.on) == (seq, EntryKind.RUN, make.days_ago(3))
    assert (found.trainee, found.watcher) == (floor.trainee.pk, floor.trainer.pk)
    assert list(map(str, found.pair)) == ["40.50", "40.1"]
    assert (found.quantity.task, found.quantity.name, found.quantity.most) == ("PK-01", "fill height", Decimal(1))


def test_half_a_pair_is_no_pair(floor):
    make.run(floor.trainee, floor.task, floor.trainer)
    half = make.pair("40", "40")
    one_sided = type(half)(number=1, unit="mm", trainee=Decimal(40))
    make.run(floor.trainee, floor.task, floor.trainer, ago=2, readings=[one_sided])

    assert read(floor) == []


def test_an_unconfirmed_run_does_not_count(floor):
    run(floor, floor.trainee, confirmed=False)

    assert read(floor) == []


def test_a_corrected_run_does_not_count_until_the_correction_is_itself_corrected(floor, office):
    seq = run(floor, floor.trainee).seq

    correction = strike(floor.trainee, seq, office).seq
    assert read(floor) == []

    strike(floor.trainee, correction, office)
    assert [each.seq for each in read(floor)] == [seq]


def test_a_run_of_the_wrong_person_counts_for_the_right_one(floor, office):
    brother = make.make_person(floor.plant, "Tore Brandvold")
    seq = run(floor, floor.trainee).seq

    strike(floor.trainee, seq, office, CorrectionCause.WRONG_PERSON, person=brother.pk)

    assert [each.trainee for each in read(floor)] == [brother.pk]


def test_readings_typed_under_a_wrong_task_say_nothing_about_the_right_one(floor, office):
    right = make.make_task(floor.area, "PK-02")
    make.add_reading(right, "overlap")
    make.hold(floor.trainer, right, assessed=60)
    seq = run(floor, floor.trainee).seq

    strike(floor.trainee, seq, office, CorrectionCause.WRONG_TASK, task=right.code)

    assert read(floor) == []


def test_a_run_whose_date_was_corrected_keeps_its_readings(floor, office):
    seq = run(floor, floor.trainee, ago=3).seq

    day = make.days_ago(5)
    strike(floor.trainee, seq, office, CorrectionCause.WRONG_DATE, happened_at=make.at(day), on=day)

    assert [(each.on, each.quantity.name) for each in read(floor)] == [(day, "fill height")]


def assessed(floor, ago=5):
    for more in (2, 1):
        make.run(floor.trainee, floor.task, floor.trainer, ago=ago + more)
    day = make.days_ago(ago)
    observed = Observed(judged={1: Judgement.MET, 2: Judgement.MET}, readings=[make.pair("39.0", "40.0")])
    assess(
        on_task=OnTask(person=floor.trainee, task=floor.task),
        assessor=make.signer(floor.assessor),
        verdict=Verdict(outcome=Outcome.COMPETENT, revision=1, observed=observed),
        when=When(happened_at=make.at(day, "11:00"), on=day, now=make.at(day, "11:05")),
    )
    return rule_of(floor.trainee).holding(floor.task.code, SITE).attempts[-1].assessment


def test_an_assessment_counts_and_an_annulled_one_does_not(floor, office):
    signoff = assessed(floor)
    assert [(each.kind, each.watcher) for each in read(floor)] == [(EntryKind.ASSESSMENT, floor.assessor.pk)]

    ruling = Ruling(cause=AnnulmentCause.FALSE_EVIDENCE, reason="nobody was there")
    annul(signoff=signoff, holder=floor.trainee, ruling=ruling, by=office, when=now())

    assert read(floor) == []


def test_joined_records_read_as_one_and_parted_ones_apart_again(floor, office):
    double = make.make_person(floor.plant, "Tove BRANDVOLD")
    first, second = run(floor, floor.trainee, ago=4).seq, run(floor, double, ago=3).seq
    why = Why(reason="entered twice", is_confirmed=True)

    join_people(kept=floor.trainee, other=double, by=office, when=now(), why=why)
    assert {each.seq: each.trainee for each in read(floor)} == dict.fromkeys((first, second), floor.trainee.pk)
    assert len(read(floor, person=floor.trainee)) == 2

    brother = make.make_person(floor.plant, "Tore Brandvold")
    part_people(record=floor.trainee, other=brother, entries=[first], by=office, when=now(), why=why)
    assert {each.seq: each.trainee for each in read(floor)} == {first: brother.pk, second: floor.trainee.pk}
    assert [each.seq for each in read(floor, person=brother) if each.trainee == brother.pk] == [first]


def test_who_watched_under_a_record_that_was_joined_is_the_person_kept(floor, office):
    double = make.make_person(floor.plant, "Iolo CASTELLAN")
    make.grant(double, AuthorityKind.TRAIN, area=floor.area)
    make.hold(double, floor.task, assessed=60)
    make.run(floor.trainee, floor.task, double, readings=[make.pair("40", "41")])

    why = Why(reason="entered twice", is_confirmed=True)
    join_people(kept=floor.trainer, other=double, by=office, when=now(), why=why)

    assert [each.watcher for each in read(floor)] == [floor.trainer.pk]


def test_only_what_is_asked_for_is_read(floor):
    other_task = make.make_task(floor.area, "PK-02")
    make.add_reading(other_task, "overlap")
    for person in (floor.trainer, floor.assessor):
        make.hold(person, other_task, assessed=60)
    peer = make.make_person(floor.plant)
    mine, theirs = run(floor, floor.trainee, ago=10).seq, run(floor, peer, ago=5).seq
    there = make.run(floor.trainee, other_task, floor.trainer, ago=2, readings=[make.pair("1", "1")]).seq

    assert [each.seq for each in read(floor)] == [mine, theirs, there]
    assert [each.seq for each in read(floor, task="PK-02")] == [there]
    assert [each.seq for each in read(floor, person=peer)] == [theirs]
    assert [each.seq for each in read(floor, since=make.days_ago(10), on=make.days_ago(5))] == [mine, theirs]
    assert [each.seq for each in read(floor, since=make.days_ago(9), on=make.days_ago(6))] == []
    assert read(floor, plant=make.make_plant("birch-wharf", "Birch Wharf")) == []


def revised(floor, number, *, days, most="0.5", name="fill height", at=1):
    revision = make.make_revision(floor.task, number, effective_on=make.today() + timedelta(days=days))
    for place in range(1, at):
        Reading.objects.create(revision=revision, number=place, name=f"other {place}", unit="g", target=Decimal(1))
    values = {"unit": "mm", "target": Decimal(40), "paired_tolerance": Decimal(most)}
    return Reading.objects.create(revision=revision, number=at, name=name, **values)


def test_a_reading_is_the_same_quantity_in_each_revision_whatever_its_number(floor):
    run(floor, floor.trainee, ago=4)
    newest = revised(floor, 2, days=-2, at=3)
    make.hold(floor.trainer, floor.task, assessed=2)
    make.run(floor.trainee, floor.task, floor.trainer, ago=1, readings=[make.pair("40", "40", number=3)])

    found = read(floor)

    assert len(found) == 2
    assert {each.quantity for each in found} == {quantity_of(newest, on=make.today())}
    assert found[0].quantity.most == Decimal("0.5")


def test_the_limit_is_that_of_the_revision_in_effect(floor):
    first = Reading.objects.get()
    coming = revised(floor, 2, days=5)

    assert quantity_of(coming, on=make.today()).reading_id == first.pk
    assert quantity_of(coming, on=make.today()).most == Decimal(1)
    assert quantity_of(first, on=make.today() + timedelta(days=5)).most == Decimal("0.5")


def test_a_renamed_reading_is_another_quantity(floor):
    renamed = revised(floor, 2, days=-2, name="fill level")

    assert quantity_of(renamed, on=make.today()).name == "fill level"
    assert quantity_of(Reading.objects.get(name="fill height"), on=make.today()).name == "fill height"
