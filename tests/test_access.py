"""Every address of the site has a declared answer for everybody, whatever the method, and gives nothing else away."""

import re
from importlib import import_module

import pytest
from django.contrib.auth import get_user_model
from django.core.cache import cache
from django.urls import reverse

from competencies.models import LedgerEntry
from tests import factories as make
from tests.access_declared import ACTS, DECLARED, OPEN, OWN_METHODS, ROLES
from tests.access_ground import (
    ABSENT,
    one_of_everything,
    people_of_every_role,
    sign_in_without_a_person,
    stranger,
)
from tests.answers import bare

APPS = ("competencies", "assessments")
SAID = {200: "in", 302: "in", 401: "no", 403: "no", 404: "-", 405: "-"}
SHUT = {"no", "-"}
METHODS_OF_NO_USE = ("PUT", "PATCH", "DELETE", "TRACE", "OPTIONS")
# Parts of an address that name a thing of the plant; another plant's people find none of them.
NAMES_A_THING = {
    *("person_id", "task_code", "entry_seq", "hold_id", "assignment_id", "sitting_id", "attempt_id", "pending_id"),
    *("line_code", "reading_id", "round_id", "series_id", "version_id", "view_id", "job_code", "incident_id"),
    "key_id",
}

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground():
    """Return the sign-in of each role, and the parts of all addresses."""
    cache.clear()  # nobody has looked too often yet
    floor = make.make_floor()
    people = people_of_every_role(floor)
    users = {role: person.user for role, person in people.items()} | {"nobody": sign_in_without_a_person()}
    return users, one_of_everything(floor, people["coordinator"])


def patterns():
    return {
        f"{app}:{pattern.name}": list(pattern.pattern.converters)
        for app in APPS
        for pattern in import_module(f"{app}.urls").urlpatterns
    }


def addresses(given):
    """Yield the name of each address, the address, and its answers in the order of ROLES."""
    for name, keys in patterns().items():
        for verb, answers in ACTS[name].items() if name in ACTS else [("", DECLARED[name])]:
            yield name, address(name, keys, {**given, "verb": verb}), answers.split()


def address(name, keys, given):
    """Return an address; what one word means in two places is told apart by the name."""
    meant = {
        "code": given["sheet" if name.endswith("sheet-check") else "calculation"],
        "form": "json" if name.endswith("data-file") else "csv",
        "pending_id": given["pending_id"][next((kind for kind in ("syllabus", "plan") if kind in name), "people")],
    }
    parts = {**given, **meant}
    return reverse(name, kwargs={key: parts[key] for key in keys})


def test_every_address_is_declared():
    assert set(patterns()) == set(DECLARED) | set(ACTS)
    assert {len(answers.split()) for answers in DECLARED.values()} == {len(ROLES)}
    assert {len(answers.split()) for verbs in ACTS.values() for answers in verbs.values()} == {len(ROLES)}


def test_each_address_answers_each_role_as_declared(client, ground):
    users, given = ground
    wrong = []
    for column, role in enumerate(ROLES):
        client.force_login(users[role])
        for _name, at, answers in addresses(given):
            answer = SAID[client.get(at).status_code]
            if answer != answers[column]:
                wrong.append((role, at, answer))
    assert wrong == []


def test_who_may_not_look_may_not_send_either(client, ground):
    users, given = ground
    entries, asked, wrong = LedgerEntry.objects.count(), 0, []
    for column, role in enumerate(ROLES):
        client.force_login(users[role])
        for name, at, answers in addresses(given):
            # An address that is only there to send to answers 405 to whoever looks: its page's tests say who may send.
            if answers[column] == "no" and name not in OPEN:
                asked += 1
                if SAID.get(client.post(at).status_code) not in SHUT:
                    wrong.append((role, at))
    assert wrong == []
    assert asked > 400
    assert LedgerEntry.objects.count() == entries


@pytest.mark.parametrize("role", ["trainee", "coordinator"])
def test_no_address_answers_a_method_that_it_has_no_use_for(client, ground, role):
    users, given = ground
    client.force_login(users[role])
    entries = LedgerEntry.objects.count()

    wrong = [
        (method, at)
        for name, at, _answers in addresses(given)
        for method in METHODS_OF_NO_USE
        if name not in OWN_METHODS and SAID.get(client.generic(method, at).status_code) not in SHUT
    ]

    assert wrong == []
    assert LedgerEntry.objects.count() == entries


@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_gets_in_without_signing_in(client, ground, method):
    _users, given = ground
    for name, at, _answers in addresses(given):
        if name not in OPEN:
            answer = getattr(client, method)(at)
            assert (answer.status_code, answer.url.split("?")[0]) == (302, "/sign-in/"), at


@pytest.mark.parametrize("method", ["GET", "POST"])
def test_what_is_another_plants_and_what_is_not_there_look_the_same(client, ground, method):
    _users, given = ground
    client.force_login(stranger())
    absent = {**given, **{key: _absent(given[key]) for key in NAMES_A_THING}}
    pairs = [
        (at, not_there)
        for (name, at, _), (_, not_there, _) in zip(addresses(given), addresses(absent), strict=True)
        if NAMES_A_THING & set(patterns()[name]) and name not in OPEN
    ]

    wrong = [at for at, not_there in pairs if _answer(client, method, at) != _answer(client, method, not_there)]

    assert wrong == []
    assert len(pairs) > 40


def _absent(part):
    """Return the name of a thing that is not there, of the same kind as the one given."""
    if isinstance(part, dict):
        return {key: _absent(value) for key, value in part.items()}
    return ABSENT if isinstance(part, int) else "ZZ-99"


def _answer(client, method, at):
    """Return what is answered, without the address itself and what is drawn afresh."""
    answer = client.generic(method, at)
    assert SAID.get(answer.status_code) in SHUT, at
    return answer.status_code, re.sub(rb'nonce="[^"]*"', b"", bare(answer)).replace(at.encode(), b"")


def test_a_right_taken_away_is_gone_at_the_next_click(client, ground):
    users, given = ground
    client.force_login(users["coordinator"])
    at = reverse("competencies:person", args=[given["person_id"]])
    assert client.get(at).status_code == 200

    users["coordinator"].person.authorities.update(until_on=make.days_ago(1))

    assert client.get(at).status_code == 403


def test_a_sign_in_that_is_closed_serves_nothing_more(client, ground):
    users, given = ground
    client.force_login(users["coordinator"])
    get_user_model().objects.filter(pk=users["coordinator"].pk).update(is_active=False)

    served = [at for name, at, _ in addresses(given) if name not in OPEN and client.get(at).status_code == 200]

    assert served == []
