"""Reminders: what is told to whom, each once over runs and processes, in the reader's zone and language."""

import threading
from datetime import UTC, date, datetime, timedelta
from smtplib import SMTPServerDisconnected

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from competencies.models import Person, Reminder
from competencies.operations.reminding import claim, note_sent, release
from competencies.queries.reminders import own_letters, week_letters
from competencies.vocabulary import AuthorityKind, Criticality, ReminderKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor()


@pytest.fixture
def holder(floor):
    """Return somebody with an address whose sign-off runs out in some 40 days."""
    person = make.make_person(floor.plant, "Signe Dahl", email="signe@plant.example")
    make.hold(person, floor.task, assessed=325)
    return person


def remind(**options):
    call_command("remind", **options)
    return mail.outbox


def last_valid(person):
    return person.standing_periods.filter(known_to=None, standing="renewal_due").get().last_valid_on


def test_a_holder_is_told_at_each_of_the_three_days_once(holder):
    last = last_valid(holder)
    told = []
    for before in (61, 60, 59, 31, 30, 8, 7, 1, 0):
        mail.outbox.clear()
        remind(on=(last - timedelta(days=before)).isoformat())
        if mail.outbox:
            told.append(before)

    assert told == [60, 30, 7]
    assert Reminder.objects.filter(kind=ReminderKind.LAPSE).exclude(sent_at=None).count() == 3


def test_days_that_were_missed_are_told_by_the_nearest_only(holder):
    last = last_valid(holder)

    [message] = remind(on=(last - timedelta(days=20)).isoformat())

    assert message.to == ["signe@plant.example"]
    assert "PK-01 Fill bottles: last valid day" in message.body
    assert "in 20 days." in message.body
    assert remind(on=(last - timedelta(days=19)).isoformat()) == [message]


def test_what_is_asked_for_tomorrow_is_told_with_shift_and_trainer(floor, holder):
    Person.objects.filter(pk=floor.trainee.pk).update(email="tove@plant.example")
    make.ask(floor.trainee, floor.task, floor.trainer, ago=-1, shift="late")
    make.ask(floor.trainee, floor.task, floor.trainer, ago=-2)

    found = [message for message in remind() if message.to == ["tove@plant.example"]]

    [message] = found
    assert "Asked of you tomorrow:" in message.body
    assert "Late: PK-01 Fill bottles" in message.body
    assert "With Iolo Castellan." in message.body
    assert message.body.count("PK-01") == 1


def test_no_subject_has_a_name_in_it(floor, holder):
    make.hold(floor.trainee, floor.task, assessed=350)
    Person.objects.update(email="all@plant.example")
    make.grant(floor.trainer, AuthorityKind.COORDINATE)

    subjects = {message.subject for message in remind()}

    assert len(subjects) == 2
    for name in Person.objects.values_list("name", flat=True):
        assert not any(part in subject for part in name.split() for subject in subjects)


def test_running_again_tells_nothing_again(floor, holder):
    Person.objects.update(email="all@plant.example")
    first = len(remind())

    assert first >= 1
    assert len(remind()) == first


def test_a_dry_run_prints_and_neither_sends_nor_notes(holder, capsys):
    call_command("remind", dry_run=True)

    assert "To signe@plant.example: Training: what comes up for you" in capsys.readouterr().out
    assert not mail.outbox
    assert not Reminder.objects.exists()


@pytest.mark.parametrize(
    "change",
    [
        {"email": ""},
        {"is_reminded": False},
        {"last_day": make.days_ago(1)},
    ],
    ids=["no address", "wants none", "has left"],
)
def test_nothing_goes_to_who_has_no_address_wants_none_or_has_left(holder, change):
    Person.objects.filter(pk=holder.pk).update(**change)

    assert remind() == []


def test_who_leaves_between_the_question_and_the_sending_is_not_told(floor, holder):
    [letter] = own_letters(floor.plant, on=make.today(), moment=timezone.now())
    Person.objects.filter(pk=holder.pk).update(email="")

    assert claim(person=letter.person, told=letter.told, on=make.today(), now=timezone.now()) == []


def test_nothing_is_told_about_somebody_who_has_left(floor, holder):
    Person.objects.filter(pk=floor.trainer.pk).update(email="iolo@plant.example")
    Person.objects.filter(pk=holder.pk).update(last_day=make.days_ago(1), email="")
    on = make.today()

    letters = week_letters(floor.plant, on=on, moment=timezone.now())

    assert not any(row.person_id == holder.pk for letter in letters for row in letter.ending)


def test_the_week_tells_a_trainer_what_is_in_their_area(floor):
    trainer = floor.trainer
    Person.objects.filter(pk=trainer.pk).update(email="iolo@plant.example")
    soon = make.make_person(floor.plant, "Ebba Lund")
    make.hold(soon, floor.task, assessed=350)
    elsewhere = make.make_task(make.make_area(floor.plant, "BH", "Brewhouse"), "BH-01")
    make.hold(soon, elsewhere, assessed=350)
    for ago in (4, 3):
        make.run(floor.trainee, floor.task, trainer, ago=ago)
    make.make_revision(floor.task, 2, effective_on=make.days_ago(-10), approved_on=make.days_ago(1))
    make.make_person(floor.plant, "Nils Aker", started_on=make.today(), area=floor.area)

    [message] = remind()

    assert message.to == ["iolo@plant.example"]
    assert "Ebba Lund, PK-01 Fill bottles" in message.body
    assert "BH-01" not in message.body
    assert "Ready to be assessed: 1" in message.body
    assert "Tove Brandvold, PK-01" in message.body
    assert "PK-01 Fill bottles, revision 2 (major)" in message.body
    assert "Nils Aker, Packaging" in message.body


def test_the_week_tells_what_waits_for_a_second_signature(floor):
    task = make.make_task(floor.area, "PK-02", criticality=Criticality.FOOD)
    make.hold(floor.assessor, task, assessed=60)
    assert "unsigned" not in str(week_letters(floor.plant, on=make.today(), moment=timezone.now()))
    office = make.make_person(floor.plant, "Rhona Feld", email="rhona@plant.example")
    make.grant(office, AuthorityKind.COORDINATE)
    floor.trainee.standing_periods.create(
        task=task, standing="awaiting_signature", counts=False, known_from=timezone.now()
    )

    [message] = remind()

    assert "Waiting for a second signature: 1" in message.body


def test_the_week_is_told_once_a_week_and_begins_on_a_monday(floor):
    Person.objects.filter(pk=floor.trainer.pk).update(email="iolo@plant.example")
    for ago in (4, 3):
        make.run(floor.trainee, floor.task, floor.trainer, ago=ago)
    monday = make.today() + timedelta(days=7 - make.today().weekday())

    counts = [len(remind(on=(monday + timedelta(days=step)).isoformat())) for step in (0, 1, 6, 7)]

    assert counts == [1, 1, 1, 2]
    assert set(Reminder.objects.values_list("day", flat=True)) == {monday, monday + timedelta(days=7)}


def test_a_failure_that_is_known_is_told_and_tried_again(holder, monkeypatch):
    def fail(_self, **_options):
        raise SMTPServerDisconnected("gone")

    with monkeypatch.context() as broken:
        broken.setattr(mail.EmailMessage, "send", fail)
        with pytest.raises(CommandError, match="1 e-mails could not be sent"):
            call_command("remind")
    assert not Reminder.objects.exists()

    assert len(remind()) == 1


def test_what_was_begun_and_never_ended_is_not_sent_again(floor, holder):
    # As after a crash between noting and sending.
    [letter] = own_letters(floor.plant, on=make.today(), moment=timezone.now())
    claim(person=holder, told=letter.told, on=make.today(), now=timezone.now())

    assert remind() == []
    assert Reminder.objects.get().sent_at is None


def test_a_note_taken_back_is_gone_and_one_that_was_sent_stays(floor, holder):
    [letter] = own_letters(floor.plant, on=make.today(), moment=timezone.now())
    told = claim(person=holder, told=letter.told, on=make.today(), now=timezone.now())
    note_sent(person=holder, told=told, now=timezone.now())

    release(person=holder, told=told)

    assert Reminder.objects.get().sent_at is not None


def test_tomorrow_is_the_plants_tomorrow(floor, monkeypatch):
    """At 13:00 in UTC of 1 March it is 2 March already in Auckland (UTC+13 in summer), so tomorrow is the 3rd."""
    floor.plant.timezone = "Pacific/Auckland"
    floor.plant.save()
    Person.objects.filter(pk=floor.trainee.pk).update(email="tove@plant.example", started_on=date(2020, 1, 1))
    for day in (2, 3):
        asked = make.ask(floor.trainee, floor.task, floor.trainer)
        asked.on = date(2027, 3, day)
        asked.save()
    monkeypatch.setattr(timezone, "now", lambda: datetime(2027, 3, 1, 13, 0, tzinfo=UTC))

    bodies = [message.body for message in remind() if message.to == ["tove@plant.example"]]

    assert len(bodies) == 1
    assert "3 Mar 2027" in bodies[0]
    assert "2 Mar 2027" not in bodies[0]


@pytest.mark.parametrize("on", ["yesterday", "2026-02-30", ""])
def test_a_day_that_is_none_is_refused(on):
    with pytest.raises(CommandError, match="is not a day"):
        call_command("remind", on=on)


def test_a_plant_that_is_not_there_is_refused(floor):
    with pytest.raises(CommandError, match="no plant elm"):
        call_command("remind", plant="elm")


def test_reminders_cost_the_same_queries_at_any_size(floor, holder, django_assert_max_num_queries):
    def queries():
        with django_assert_max_num_queries(40) as captured:
            own_letters(floor.plant, on=make.today(), moment=timezone.now())
            week_letters(floor.plant, on=make.today(), moment=timezone.now())
        return len(captured)

    queries()
    small = queries()
    for _ in range(5):
        person = make.make_person(floor.plant, email="one@plant.example")
        make.hold(person, floor.task, assessed=325)
        make.grant(person, AuthorityKind.TRAIN)
        make.ask(person, floor.task, floor.trainer, ago=-1)

    assert queries() == small


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_two_processes_at_once_tell_it_once(floor, holder):
    barrier = threading.Barrier(2)

    def tell():
        try:
            barrier.wait(30)
            call_command("remind")
        finally:
            connection.close()

    threads = [threading.Thread(target=tell) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(120)

    assert len([message for message in mail.outbox if message.to == [holder.email]]) == 1
    assert Reminder.objects.filter(person=holder).count() == 1
