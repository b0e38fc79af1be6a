"""Away from and back: entered by coordinator or supervisor, no reason, a warning before a long one."""

import pytest

from competencies.forms.absences import AbsenceForm
from competencies.models import Absence, LedgerIndex
from competencies.vocabulary import AuthorityKind, Criticality, EntryKind
from tests import factories as make
from tests.factories import days_ago

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD)


@pytest.fixture
def leader(client, floor):
    person = make.make_person(floor.plant, with_pin=True)
    make.grant(person, AuthorityKind.SUPERVISE)
    client.force_login(person.user)
    return person


def address(floor):
    return f"/people/{floor.trainer.pk}/absences/"


def sent(first, back, **more):
    return {"from_on": days_ago(first).isoformat(), "back_on": days_ago(back).isoformat(), "pin": make.PIN, **more}


def test_a_short_absence_is_entered_and_shown_on_the_persons_page(client, floor, leader):
    answer = client.post(address(floor), sent(5, 2))

    assert answer.status_code == 302
    row = Absence.objects.get()
    assert (row.person, row.from_on, row.until_on) == (floor.trainer, days_ago(5), days_ago(3))
    assert "3 days" in client.get(f"/people/{floor.trainer.pk}/").content.decode()
    assert not LedgerIndex.objects.filter(kind=EntryKind.ABSENCE).exists()


def test_a_long_absence_warns_first_and_is_entered_once_seen(client, floor, leader):
    first = client.post(address(floor), sent(0, -90))

    text = first.content.decode()
    assert "this is a long absence" in text
    assert days_ago(-90).isoformat() in text
    assert not Absence.objects.exists()
    client.post(address(floor), sent(0, -90, seen="on"))
    assert LedgerIndex.objects.filter(kind=EntryKind.ABSENCE, person=floor.trainer.pk).count() == 1


@pytest.mark.parametrize("back", [-89, -1])
def test_eighty_nine_days_are_no_long_absence(client, floor, leader, back):
    client.post(address(floor), sent(0, back))

    assert Absence.objects.count() == 1


def test_the_return_is_moved_and_what_it_asks_is_listed(client, floor, leader):
    client.post(address(floor), sent(0, -95, seen="on"))
    row = Absence.objects.get()
    text = client.get(address(floor)).content.decode()
    assert "The return asks, in this order:" in text
    assert "1 supervised run on PK-01" in text

    given = {"back_on": days_ago(-20).isoformat(), "pin": make.PIN}
    client.post(f"{address(floor)}?return={row.pk}", given)

    row.refresh_from_db()
    assert row.until_on == days_ago(-19)
    assert "The return asks" not in client.get(address(floor)).content.decode()


@pytest.mark.parametrize(("first", "back"), [(2, 2), (2, 5)])
def test_days_out_of_order_are_said_and_stay(client, floor, leader, first, back):
    text = client.post(address(floor), sent(first, back)).content.decode()

    assert "The first day back lies after the first day away" in text
    assert days_ago(back).isoformat() in text
    assert not Absence.objects.exists()


def test_an_overlap_is_said_at_the_field(client, floor, leader):
    client.post(address(floor), sent(9, 2))

    answer = client.post(address(floor), sent(4, 1))

    assert "already" in str(answer.context["form"].errors["back_on"])


def test_no_reason_is_asked():
    assert set(AbsenceForm.base_fields) == {"from_on", "back_on", "seen", "pin"}
    assert {field.name for field in Absence._meta.concrete_fields} == {"id", "person", "from_on", "until_on"}


def test_nobody_enters_their_own_and_a_trainer_none(client, floor, leader):
    assert client.get(f"/people/{leader.pk}/absences/").status_code == 403
    client.force_login(floor.trainer.user)
    assert client.post(f"/people/{floor.trainee.pk}/absences/", sent(5, 2)).status_code == 403
    assert not Absence.objects.exists()
