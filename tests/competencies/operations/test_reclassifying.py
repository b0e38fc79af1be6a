"""A minor revision is made a major one: two people, forward from the day, both clocks (R4.8)."""

from datetime import timedelta

import pytest

from competencies.ledger.reading import read_entry
from competencies.models import LedgerEntry, TaskRevision
from competencies.operations.decisions import When, acknowledge
from competencies.operations.reclassifying import reclassify_revision
from competencies.operations.recording import RefusedError
from competencies.queries.facts import rule_of
from competencies.queries.frame import frame_of
from competencies.queries.previews import touched_by, with_major
from competencies.queries.standing import standings_at
from competencies.standing.facts import SITE
from competencies.vocabulary import AuthorityKind, ChangeClass, Criticality, EntryKind, Standing
from tests import factories as make
from tests.factories import at, days_ago, signer

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    floor = make.make_floor(criticality=Criticality.FOOD)
    make.make_revision(floor.task, 2, effective_on=days_ago(20), change=ChangeClass.MINOR, touches=(1,))
    return floor


@pytest.fixture
def hana(floor):
    person = make.make_person(floor.plant)
    make.grant(person, AuthorityKind.COORDINATE)
    return signer(person)


def minor(floor):
    return TaskRevision.objects.select_related("task__plant").get(task=floor.task, number=2)


def read_by(person, task, ago):
    moment = at(days_ago(ago))
    when = When(happened_at=moment, on=days_ago(ago), now=moment)
    acknowledge(holder=signer(person), task=task, scope=SITE, revision=2, when=when)


def test_who_only_read_it_stops_from_the_day_on_and_earlier_answers_keep_their_result(floor, hana):
    read_by(floor.trainer, floor.task, 15)
    now = at(days_ago(3), "14:00")

    appended = reclassify_revision(revision=minor(floor), by=hana, second=signer(floor.assessor), now=now)

    entry = read_entry(LedgerEntry.objects.get(seq=appended.seq))
    assert entry["kind"] is EntryKind.RECLASSIFICATION
    assert (entry["revision"], entry["change"], entry["second_approver"]) == (2, ChangeClass.MAJOR, floor.assessor.pk)
    timeline = rule_of(floor.trainer).timeline(floor.task.code, SITE)
    before, after = timeline.at(at(days_ago(4), "23:59")), timeline.at(at(days_ago(3), "00:00"))
    assert (before.standing, before.counts) == (Standing.IN_FORCE, True)
    assert "reclassified" in {reason.code for reason in before.reasons}
    assert (after.standing, after.counts) == (Standing.OUT_OF_REVISION, False)


def test_what_was_known_before_stays_the_old_answer(floor, hana):
    read_by(floor.trainer, floor.task, 15)
    now = at(days_ago(3), "14:00")
    reclassify_revision(revision=minor(floor), by=hana, second=signer(floor.assessor), now=now)

    known = now - timedelta(minutes=1)
    [held] = standings_at(people=[floor.trainer.pk], moment=at(days_ago(0), "12:00"), known=known)

    assert held.period.counts
    assert "reclassified" not in {reason.code for reason in held.period.reasons}


def test_the_preview_says_who_stops_and_when_before_it_is_signed(floor):
    read_by(floor.trainer, floor.task, 15)
    now = at(days_ago(0), "12:00")

    found = touched_by(
        floor.plant, with_major(frame_of(floor.plant), floor.task.code, 2, now=now), floor.task.code, now=now
    )

    stops = {each.person: each.from_at for each in found if each.stops}
    assert stops == {floor.trainer: now, floor.assessor: now}
    assert frame_of(floor.plant).tasks[floor.task.code].revision(2).change is ChangeClass.MINOR


@pytest.mark.parametrize(
    ("by", "second", "codes"),
    [
        ("hana", "hana", {"two_people"}),
        ("trainer", "assessor", {"no_authority"}),
        ("hana", "trainee", {"second_no_authority"}),
    ],
)
def test_two_people_who_may_decide(floor, hana, by, second, codes):
    people = {"hana": hana.person, "trainer": floor.trainer, "assessor": floor.assessor, "trainee": floor.trainee}

    with pytest.raises(RefusedError) as refused:
        reclassify_revision(
            revision=minor(floor), by=signer(people[by]), second=signer(people[second]), now=at(days_ago(0))
        )

    assert {refusal.code for refusal in refused.value.refusals} == codes
    assert minor(floor).reclassified_at is None


def test_it_is_done_once(floor, hana):
    reclassify_revision(revision=minor(floor), by=hana, second=signer(floor.assessor), now=at(days_ago(1)))

    with pytest.raises(RefusedError) as refused:
        reclassify_revision(revision=minor(floor), by=hana, second=signer(floor.assessor), now=at(days_ago(0)))

    assert [refusal.code for refusal in refused.value.refusals] == ["major_already"]
