"""The log of what was told, one's own, and the choice to be told no more."""

import pytest
from django.utils import timezone

from competencies.models import Person, Reminder
from tests import factories as make

pytestmark = pytest.mark.django_db


def told(person, *, sent=True, **fields):
    now = timezone.now()
    values = {"kind": "lapse", "about": f"PK-01  {now.isoformat()}", "says": "PK-01", "day": make.today(), **fields}
    return Reminder.objects.create(
        plant=person.plant, person=person, claimed_at=now, sent_at=now if sent else None, **values
    )


def test_the_log_says_what_went_and_of_what_it_is_not_known(office, floor):
    told(floor.trainee)
    told(floor.trainer, sent=False, kind="week", says="")

    text = office.get("/reminders/").content.decode()

    assert "Tove Brandvold" in text
    assert "runs out: PK-01" in text
    assert "begun; not known whether it went" in text
    assert "Of 1 it is not known whether the e-mail went" in text


def test_an_empty_log_says_what_to_do_and_who_cannot_be_told(office, floor):
    text = office.get("/reminders/").content.decode()

    assert "manage.py remind" in text
    assert "people who work here have no e-mail address." in text


def test_the_log_is_the_plants_own_and_the_offices(client, office, floor):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"), "Runa Vik")
    told(stranger)
    assert "Runa Vik" not in office.get("/reminders/").content.decode()
    client.force_login(floor.trainer.user)
    assert client.get("/reminders/").status_code == 403


def test_everybody_sees_their_own_and_switches_the_e_mails_off_and_on(client, floor):
    told(floor.trainee)
    told(floor.trainer, says="PK-77")
    client.force_login(floor.trainee.user)
    text = client.get("/reminders/mine/").content.decode()
    assert "runs out: PK-01" in text
    assert "PK-77" not in text

    answer = client.post("/reminders/mine/", {"told": "off"}, follow=True).content.decode()
    assert "You are told nothing by e-mail." in answer
    assert not Person.objects.get(pk=floor.trainee.pk).is_reminded
    assert Person.objects.get(pk=floor.trainer.pk).is_reminded

    client.post("/reminders/mine/", {"told": "on"})
    assert Person.objects.get(pk=floor.trainee.pk).is_reminded


def test_the_log_costs_the_same_queries_at_any_size(office, floor, django_assert_max_num_queries):
    def queries():
        with django_assert_max_num_queries(20) as captured:
            office.get("/reminders/")
        return len(captured)

    told(floor.trainee)
    queries()
    small = queries()
    for _ in range(9):
        told(make.make_person(floor.plant))

    assert queries() == small
