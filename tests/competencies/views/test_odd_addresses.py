"""Addresses nobody would type: an answer below 500, and nothing written."""

import pytest
from django.urls import reverse

from competencies.models import Assignment, LedgerEntry
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db

HUGE = 10**30
ADDRESSES = [
    *(reverse(f"competencies:{name}", args=[HUGE]) for name in ("run-log", "assignment-drop", "sign")),
    reverse("competencies:assess", args=[HUGE, "PK-01"]),
    reverse("competencies:assess", args=[1, "PK-01\u202e"]),
]
LISTS = [reverse(f"competencies:{name}") for name in ("floor", "assign", "run-new", "assessment-queue")]
LISTS.append(reverse("competencies:signature-queue"))
QUERIES = [
    {"on": "2026-02-30", "line": "\x00", "view": "\x00", "page": "9" * 50},
    {"person": ["-1", "1e9", "\x00"], "task": "\x00", "shift": "\x00", "machine": "\x00", "page": "-1"},
    {"scope": "///", "coming": "x", "page": "last", "on": "\u0662\u0660\u0662\u0666-01-01"},
]


@pytest.fixture
def floor(client):
    floor = make.make_floor()
    make.grant(floor.assessor, AuthorityKind.COORDINATE, AuthorityKind.SIGN_FOOD)
    client.force_login(floor.assessor.user)
    return floor


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_number_that_is_none_of_ours_is_not_there(client, floor, address):
    assert client.get(address).status_code == 404
    assert client.post(address).status_code == 404


@pytest.mark.parametrize("asked", QUERIES)
@pytest.mark.parametrize("address", LISTS)
def test_an_odd_question_gets_an_honest_answer(client, floor, address, asked):
    assert client.get(address, asked).status_code < 500


@pytest.mark.parametrize("address", LISTS)
def test_an_odd_form_writes_nothing(client, floor, address):
    entries = LedgerEntry.objects.count()

    response = client.post(address, {"people": "\x00", "tasks": "\x00", "token": "\x00", "pin": "\x00", "on": "\x00"})

    assert response.status_code in {200, 405}
    assert (LedgerEntry.objects.count(), Assignment.objects.count()) == (entries, 0)


@pytest.mark.parametrize("name", ["floor", "assign", "run-new", "assessment-queue", "signature-queue", "pin"])
def test_a_sign_in_without_a_person_sees_nothing(client, floor, name):
    floor.assessor.user = None
    floor.assessor.save()

    assert client.get(reverse(f"competencies:{name}")).status_code == 403
