"""What other programs may read: by a good key and no other, within its scopes, as the OpenAPI document says."""

import hashlib
import json
from datetime import timedelta
from itertools import pairwise

import pytest
from django.core.cache import cache
from django.utils import timezone
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from competencies.models import AccessKey
from competencies.operations.doors import KeyAsked, make_access_key, revoke_access_key
from competencies.views.api_document import document
from competencies.views.api_gate import QUESTIONS, WRONG_KEYS
from competencies.vocabulary import ReadScope
from tests import factories as make

PATHS = {scope: f"/api/1/{scope.value}/" for scope in ReadScope}

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def fresh_counts():
    cache.clear()


@pytest.fixture
def full(floor, coordinator):
    make.hold(floor.trainee, floor.task)
    make.make_station(floor.line, floor.task)
    make.roster(floor.trainee, line=floor.line, ago=0)
    return floor


def key_for(person, *scopes, days=7):
    now = timezone.now()
    asked = KeyAsked(title="Wall screen", scopes=scopes or list(ReadScope), expires_at=now + timedelta(days=days))
    return make_access_key(asked=asked, by=person, now=now)


def ask(client, path, secret, **query):
    return client.get(path, query, headers={"Authorization": f"Bearer {secret}"})


def answer_schema(path, status="200", kind="application/json"):
    found = document()
    schema = found["paths"][path]["get"]["responses"][status]["content"][kind]["schema"]
    return {**schema, "components": found["components"]}


def check(answer, path):
    """Hold an answer against the document, by an independent reader of JSON Schema."""
    kind = answer["Content-Type"]
    Draft202012Validator(
        answer_schema(path, str(answer.status_code), kind), format_checker=Draft202012Validator.FORMAT_CHECKER
    ).validate(answer.json())


def test_the_document_is_openapi_as_an_independent_reader_has_it(client):
    validate(client.get("/api/1/openapi.json").json())


@pytest.mark.parametrize("scope", ReadScope)
def test_every_answer_is_as_the_document_says(client, full, coordinator, scope):
    _key, secret = key_for(coordinator)

    answer = ask(client, PATHS[scope], secret)

    assert answer.status_code == 200
    assert answer.json()["items"]
    check(answer, PATHS[scope])
    for refused in (client.get(PATHS[scope]), ask(client, PATHS[scope], secret, on="10^400")):
        check(refused, PATHS[scope])


@pytest.mark.parametrize("scope", ReadScope)
def test_a_key_reads_what_it_may_and_nothing_else(client, full, coordinator, scope):
    _key, secret = key_for(coordinator, scope)

    said = {each: ask(client, path, secret) for each, path in PATHS.items()}

    assert {each: answer.status_code for each, answer in said.items()} == {
        each: 200 if each is scope else 403 for each in ReadScope
    }
    other = next(each for each in ReadScope if each is not scope)
    # RFC 6750, section 3.1.
    assert said[other]["WWW-Authenticate"] == f'Bearer error="insufficient_scope", scope="{other.value}"'


def test_no_key_a_wrong_one_an_ended_and_a_revoked_one_look_the_same(client, full, coordinator):
    now = timezone.now()
    ended, revoked = key_for(coordinator, days=-1)[1], key_for(coordinator)
    revoke_access_key(key=revoked[0], by=coordinator, now=now)

    answers = [ask(client, PATHS[ReadScope.PEOPLE], secret) for secret in ("", "x", ended, revoked[1])]
    client.force_login(coordinator.user)
    answers.append(client.get(PATHS[ReadScope.PEOPLE]))

    assert {answer.status_code for answer in answers} == {401}
    assert {answer["WWW-Authenticate"] for answer in answers} == {"Bearer"}
    assert len({answer.content for answer in answers}) == 1


def test_nothing_is_written_and_only_the_digest_of_a_key_is_kept(client, coordinator):
    key, secret = key_for(coordinator)

    answer = client.post(PATHS[ReadScope.PEOPLE], headers={"Authorization": f"Bearer {secret}"})

    assert answer.status_code == 405
    assert secret not in str(AccessKey.objects.values().get())
    assert key.used_at is None
    ask(client, PATHS[ReadScope.PEOPLE], secret)
    key.refresh_from_db()
    assert key.used_at is not None


def test_another_plants_people_are_not_there(client, full, coordinator):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"), "Somebody Else")
    _key, secret = key_for(coordinator)

    assert "Somebody Else" not in ask(client, PATHS[ReadScope.PEOPLE], secret).content.decode()
    assert ask(client, PATHS[ReadScope.STANDING], secret, person=stranger.pk).json()["items"] == []


def test_standing_follows_both_clocks(client, floor, coordinator):
    make.hold(floor.trainee, floor.task, assessed=30)
    _key, secret = key_for(coordinator)
    asking = {"person": floor.trainee.pk, "task": floor.task.code}

    def said(**clocks):
        items = ask(client, PATHS[ReadScope.STANDING], secret, **asking, **clocks).json()["items"]
        return [item["standing"] for item in items]

    assert said() == said(on=make.days_ago(10).isoformat()) == ["in_force"]
    assert "in_force" not in said(on=make.days_ago(40).isoformat())
    assert "in_force" not in said(known=make.days_ago(40).isoformat())
    assert said(known=timezone.now().isoformat()) == ["in_force"]


def test_the_ledger_comes_whole_in_order_and_its_hashes_can_be_worked_out_again(client, full, coordinator):
    _key, secret = key_for(coordinator)
    found, after = [], -1
    while after is not None:
        answer = ask(client, PATHS[ReadScope.LEDGER], secret, size=2, after=after).json()
        found, after = found + answer["items"], answer["next_after"]

    whole = ask(client, PATHS[ReadScope.LEDGER], secret, size=500).json()["items"]
    assert found == whole
    for one, other in pairwise(whole):
        # RFC 9162, section 2.1.1: the hash of a leaf is SHA-256 of a zero byte and the entry.
        assert one["hash"] == hashlib.sha256(b"\x00" + one["body"].encode()).hexdigest()
        assert other["previous"] == one["hash"]
    assert json.loads(whole[0]["body"])["seq"] == whole[0]["entry"]


@pytest.mark.parametrize(
    ("scope", "query", "field"),
    [
        (ReadScope.PEOPLE, {"on": "31/01/2026"}, "on"),
        (ReadScope.PEOPLE, {"known": "2026-01-31"}, ""),
        (ReadScope.PEOPLE, {"size": "501"}, "size"),
        (ReadScope.STANDING, {"known": "yesterday"}, "known"),
        (ReadScope.STANDING, {"known": "2026-01-31T06:00:00"}, "known"),
        (ReadScope.STANDING, {"known": "2026-02-31"}, "known"),
        (ReadScope.STANDING, {"person": "9" * 400}, "person"),
        (ReadScope.COVER, {"days": "inf"}, "days"),
        (ReadScope.LEDGER, {"after": "<script>"}, "after"),
        (ReadScope.LEDGER, {"afetr": "1"}, ""),
    ],
)
def test_what_cannot_be_read_is_said_by_name(client, coordinator, scope, query, field):
    answer = ask(client, PATHS[scope], key_for(coordinator)[1], **query)

    assert (answer.status_code, list(answer.json()["errors"])) == (400, [field])


def test_too_many_questions_are_told_when_to_come_back(client, coordinator):
    key, secret = key_for(coordinator)
    cache.set(f"api:{key.pk}", QUESTIONS - 1, 60)

    assert ask(client, PATHS[ReadScope.PEOPLE], secret).status_code == 200
    answer = ask(client, PATHS[ReadScope.PEOPLE], secret)

    # RFC 6585, section 4.
    assert (answer.status_code, answer["Retry-After"]) == (429, "60")
    check(answer, PATHS[ReadScope.PEOPLE])
    assert ask(client, PATHS[ReadScope.PEOPLE], key_for(coordinator)[1]).status_code == 200


def test_guessing_keys_is_stopped_and_a_good_key_still_works(client, coordinator):
    answers = [ask(client, PATHS[ReadScope.PEOPLE], f"guess{number}").status_code for number in range(WRONG_KEYS + 2)]

    assert answers[-2:] == [429, 429]
    assert ask(client, PATHS[ReadScope.PEOPLE], key_for(coordinator)[1]).status_code == 200


@pytest.mark.parametrize("scope", ReadScope)
def test_an_answer_costs_the_same_queries_at_any_size(client, full, coordinator, scope, django_assert_max_num_queries):
    _key, secret = key_for(coordinator)
    ask(client, PATHS[scope], secret)
    with django_assert_max_num_queries(40) as few:
        first = ask(client, PATHS[scope], secret).json()["items"]
    for _ in range(4):
        person = make.make_person(full.plant)
        make.hold(person, full.task)
        make.roster(person, line=full.line, ago=0)
    ask(client, PATHS[scope], secret)
    with django_assert_max_num_queries(40) as more:
        assert len(ask(client, PATHS[scope], secret).json()["items"]) >= len(first)
    assert len(few) == len(more)


def test_a_coordinator_makes_a_key_sees_it_once_and_revokes_it(client, office, coordinator):
    sent = {"title": "Wall screen", "scopes": ["cover"], "until_on": make.today().isoformat(), "pin": make.PIN}

    made = office.post("/keys/", sent)

    secret = made.context["secret"]
    assert secret in made.content.decode()
    assert secret not in office.get("/keys/").content.decode()
    assert ask(client, PATHS[ReadScope.COVER], secret).status_code == 200
    office.post(f"/keys/{AccessKey.objects.get().pk}/revoke/")
    assert ask(client, PATHS[ReadScope.COVER], secret).status_code == 401


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"pin": make.WRONG_PIN}, "PIN"),
        ({"scopes": []}, "This field is required"),
        ({"scopes": ["everything"]}, "not one of the available choices"),
        ({"until_on": "2199-01-01"}, "at most a year ahead"),
    ],
)
def test_a_key_asked_for_amiss_is_not_made(office, change, said):
    sent = {"title": "Wall screen", "scopes": ["cover"], "until_on": make.today().isoformat(), "pin": make.PIN}

    text = office.post("/keys/", {**sent, **change}).content.decode()

    assert said in text
    assert "Wall screen" in text
    assert not AccessKey.objects.exists()


def test_only_a_coordinator_gives_keys(client, floor, coordinator):
    key, _secret = key_for(coordinator)
    client.force_login(floor.trainer.user)

    assert client.get("/keys/").status_code == client.post(f"/keys/{key.pk}/revoke/").status_code == 403
    key.refresh_from_db()
    assert key.revoked_at is None
