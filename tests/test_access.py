"""Every address has a declared answer for everybody: one that is not declared here fails.

GET only; what a form may do is asked in the tests of its page. "in" is 200 or a redirect within, "no" is 403,
"out" the way to sign in, "-" 404 or 405: not there for this person, or no page to look at.
"""

import pytest
from django.urls import NoReverseMatch, get_resolver, reverse

from competencies.models import LedgerIndex
from competencies.vocabulary import AuthorityKind, EntryKind
from tests import factories as make

ROLES = ("trainee", "trainer", "assessor", "coordinator", "auditor", "leaver")
# The pages of people, tasks and plant, answers in the order of ROLES.
DECLARED = {
    "home": "in in in in in in",
    "password": "in in in in in in",
    "password-changed": "in in in in in in",
    "my-page": "in in in in in no",
    "my-task": "in in in in in no",
    "people": "no in in in in no",
    "person": "in in in in in no",
    "person-pathway": "in in in in in no",
    "person-task": "in in in in in no",
    "person-task-print": "in no no in in no",
    "sign-off-chain": "in in in in in no",
    "units": "no no in in in no",
    "tasks": "in in in in in no",
    "task": "in in in in in no",
    "cover": "no no no in in no",
    "cover-rules": "no no no in in no",
    "cover-shift": "no no no in in no",
    "ledger": "no no no in in no",
    "entry": "in in in in in no",
    "entry-correct": "no no no in no no",
    "doubles": "no no no in no no",
    "person-join": "no no no in no no",
    "person-part": "no no no in no no",
    "person-absences": "no no no in no no",
    "person-data": "in no no in no no",
    "person-data-file": "in no no in no no",
    "retention-hold-end": "no no no - - no",
    "task-first-trainer": "no no no in no no",
    "task-terms": "no no no in no no",
    "task-reclassify": "no no no - no no",
    "retention": "no no no in in no",
    "retention-holds": "no no no in in no",
    "settings": "no no no in no no",
    "annul": "no no no in no no",
    "reviews": "no no in in in no",
    "my-outcome": "in in in - - no",
}
ACTS = {
    "person-act": {
        "grant": "no no no in no no",
        "end": "no no no in no no",
        "enrol": "no no no in no no",
        "decide-unit": "no no in no no no",
        "report-unit": "no no no in no no",
        "moderate-unit": "no no no in in no",
        "clear-pin": "no no no in no no",
        "open-sign-in": "no no no in no no",
        "close-sign-in": "no no no in no no",
        "conflict": "in in in in in no",
        "rename": "no no no in no no",
    },
    "task-act": {
        "suspend": "no no in in no no",
        "lift": "no no in in no no",
        "withdraw": "no no in in no no",
        "review": "no no no in no no",
        "reverify": "no no in no no no",
        "owe-check": "no no in in no no",
        "review-attempts": "no no no in no no",
        "recognise": "no no in no no no",
        "accept-late": "no no no in no no",
    },
}
OPEN = {"sign-in", "sign-out"}

pytestmark = pytest.mark.django_db


@pytest.fixture
def everybody():
    floor = make.make_floor()
    found = {"trainee": floor.trainee, "trainer": floor.trainer, "assessor": floor.assessor}
    for name, kind in [("coordinator", AuthorityKind.COORDINATE), ("auditor", AuthorityKind.AUDIT)]:
        found[name] = make.make_person(floor.plant)
        make.grant(found[name], kind)
    found["leaver"] = make.make_person(floor.plant, last_day=make.days_ago(2))
    make.grant(found["leaver"], AuthorityKind.COORDINATE)
    make.hold(floor.trainee, floor.task)
    return found


def addresses(person):
    signed = LedgerIndex.objects.get(person=person.pk, kind=EntryKind.ASSESSMENT)
    given = {"person_id": person.pk, "task_code": "PK-01", "entry_seq": signed.pk}
    given |= {"form": "json", "hold_id": 1}
    given |= {"line_code": "L1", "day": "2026-01-31", "shift_name": "day"}
    for name, answers in DECLARED.items():
        yield _address(name, given), answers
    for name, verbs in ACTS.items():
        for verb, answers in verbs.items():
            yield _address(name, {**given, "verb": verb}), answers


def _address(name, given):
    keys = [{}, {"task_code"}, {"person_id"}, {"person_id", "task_code"}, {"person_id", "verb"}]
    keys += [{"person_id", "task_code", "verb"}, {"person_id", "task_code", "entry_seq"}, {"entry_seq"}]
    keys += [{"person_id", "form"}, {"hold_id"}]
    keys += [{"line_code"}, {"line_code", "day", "shift_name"}]
    for wanted in keys:
        try:
            return reverse(f"competencies:{name}", kwargs={key: given[key] for key in wanted if key in given})
        except NoReverseMatch:
            continue
    raise AssertionError(name)


def test_each_page_answers_each_role_as_declared(client, everybody):
    said = {200: "in", 302: "in", 403: "no", 404: "-", 405: "-"}
    wrong = []
    for column, role in enumerate(ROLES):
        client.force_login(everybody[role].user)
        for address, answers in addresses(everybody["trainee"]):
            answer = said[client.get(address).status_code]
            if answer != answers.split()[column]:
                wrong.append((role, address, answer))
    assert wrong == []


def test_nobody_gets_in_without_signing_in(client, everybody):
    for address, _answers in addresses(everybody["trainee"]):
        answer = client.get(address)
        assert (answer.status_code, answer.url.split("?")[0]) == (302, "/sign-in/"), address


def test_people_of_another_plant_find_nothing_there(client, everybody):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    make.grant(stranger, AuthorityKind.COORDINATE)
    make.grant(stranger, AuthorityKind.ASSESS)
    client.force_login(stranger.user)
    about = [address for address, _answers in addresses(everybody["trainee"]) if "/people/" in address[:8] + "/"]
    named = [address for address in about if str(everybody["trainee"].pk) in address]
    assert named
    assert {client.get(address).status_code for address in named} == {404}
    assert {client.get(f"/{kind}/PK-01/").status_code for kind in ("tasks", "my")} == {404}


def test_every_address_of_people_tasks_and_plant_is_declared():
    names = {str(key) for key in get_resolver("competencies.urls").reverse_dict if isinstance(key, str)}
    mine = (
        "home",
        "pass",
        "my-",
        "people",
        "person",
        "task",
        "retention",
        "unit",
        "cover",
        "ledger",
        "settings",
        "sign-in",
        "sign-o",
        "entry",
        "doubles",
        "annul",
        "reviews",
    )
    asked = {name for name in names if name.startswith(mine)}
    elsewhere = {name for name in names if name.startswith(("people-template", "people-preview", "person-record"))}
    assert asked - elsewhere == set(DECLARED) | set(ACTS) | OPEN
