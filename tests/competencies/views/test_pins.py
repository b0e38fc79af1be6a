"""Setting one's own PIN."""

import pytest
from django.urls import reverse
from django.utils import timezone

from competencies.operations.pins import PinError, prove_pin
from tests import factories as make

pytestmark = pytest.mark.django_db
PIN = reverse("competencies:pin")
NEW = "735016"


@pytest.fixture
def person(client):
    person = make.make_person(make.make_plant())
    person.user.set_password(make.PASSWORD)
    person.user.save()
    client.force_login(person.user)
    return person


def sent(**changes):
    return {"password": make.PASSWORD, "pin": NEW, "again": NEW, **changes}


def accepts(person, pin):
    try:
        prove_pin(person=person, pin=pin, now=timezone.now())
    except PinError:
        return False
    return True


def test_a_pin_is_set_and_proves_its_owner(client, person):
    response = client.post(PIN, sent(), follow=True)

    assert "Your PIN is set" in response.text
    assert accepts(person, NEW)
    assert not accepts(person, make.WRONG_PIN)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        pytest.param({"password": "something else"}, "password", id="another password"),
        pytest.param({"password": ""}, "password", id="no password"),
        pytest.param({"again": "735017"}, "again", id="not the same twice"),
        pytest.param({"pin": "123456", "again": "123456"}, "pin", id="a pattern"),
        pytest.param({"pin": "121212", "again": "121212"}, "pin", id="two digits in turn"),
        pytest.param({"pin": "198734", "again": "198734"}, "pin", id="a year"),
        pytest.param({"pin": "73501", "again": "73501"}, "pin", id="too short"),
        pytest.param({"pin": "٧٣٥٠١٦", "again": "٧٣٥٠١٦"}, "pin", id="other digits"),
    ],
)
def test_what_is_wrong_is_said_and_no_pin_is_set(client, person, changes, field):
    response = client.post(PIN, sent(**changes))

    assert field in response.context["form"].errors
    assert NEW not in response.text
    person.refresh_from_db()
    assert person.pin_hash == ""


def test_a_pin_must_not_hold_the_employee_number(client, person):
    pin = f"{person.works_number}7"[:6]

    assert "employee number" in client.post(PIN, sent(pin=pin, again=pin)).text


def test_the_password_cannot_be_guessed_here_either(client, person):
    for _try in range(5):
        client.post(PIN, sent(password="not this"))

    response = client.post(PIN, sent())

    assert response.status_code in {200, 429}
    person.refresh_from_db()
    assert person.pin_hash == ""


def test_the_rules_are_said_plainly(client, person):
    page = client.get(PIN).text

    for rule in ("It has 6 digits.", "After 5 wrong tries you wait 15 minutes.", "After 10 wrong tries it is dead"):
        assert rule in page
