"""Retention, holds, and everything kept about a person: the pages."""

import json

import pytest

from competencies.models import Detached, LegalHold
from competencies.operations.framework import PolicyChange, set_policy
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.competencies.operations.test_erasing import leave, run_with_note
from tests.factories import at, days_ago

pytestmark = pytest.mark.django_db
FIGURES = {"evidence_months": 6, "record_after_leaving_months": 6, "evidence_awaits_moderation": False}


@pytest.fixture
def floor():
    floor = make.make_floor()
    change = PolicyChange(effective_on=days_ago(720), settings=FIGURES)
    set_policy(plant=floor.plant, change=change, signer=make.office(floor.plant), now=at(days_ago(720)))
    return floor


@pytest.fixture
def hana(client, floor):
    person = make.make_person(floor.plant, "Hana Coldwell", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    client.force_login(person.user)
    return person


@pytest.fixture
def perla(floor):
    person = make.make_person(floor.plant, "Perla Underhill", with_pin=True)
    make.grant(person, AuthorityKind.AUDIT)
    return person


def both(perla, **more):
    return {"pin": make.PIN, "second": perla.pk, "second_pin": make.PIN, **more}


def test_what_is_due_is_listed_and_goes_when_two_sign(client, floor, hana, perla):
    run_with_note(floor.trainee, floor, 300)
    leave(floor.trainee, 250)
    text = client.get("/retention/").content.decode()
    assert "Tove Brandvold" in text
    assert "1 text, of" in text

    answer = client.post(
        "/retention/", both(perla, evidence=[floor.trainee.pk], records=[floor.trainee.pk]), follow=True
    )

    assert "The ledger still verifies." in answer.content.decode()
    assert not Detached.objects.filter(kind="note").exists()
    assert "Nothing is due." in answer.content.decode()


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"second_pin": make.WRONG_PIN}, "second_pin"),
        ({"pin": make.WRONG_PIN}, "pin"),
        ({"second": ""}, "second"),
        ({"evidence": []}, "__all__"),
    ],
)
def test_nothing_goes_unless_both_sign_for_something(client, floor, hana, perla, given, field):
    run_with_note(floor.trainee, floor, 300)

    answer = client.post("/retention/", both(perla, **{"evidence": [floor.trainee.pk], **given}))

    assert field in answer.context["form"].errors
    assert Detached.objects.filter(kind="note").exists()


def test_a_hold_keeps_back_and_says_so_and_another_ends_it(client, floor, hana, perla):
    run_with_note(floor.trainee, floor, 300)

    client.post("/retention/holds/", {"incident": "INC-12", "people": [floor.trainee.pk], "pin": make.PIN})

    hold = LegalHold.objects.get()
    assert (hold.incident, hold.set_by, list(hold.people.all())) == ("INC-12", hana, [floor.trainee])
    text = client.get("/retention/").content.decode()
    assert "legal hold INC-12" in text
    assert "Nothing is due." in text
    assert "You set it: another person ends it." in client.get(f"/retention/holds/{hold.pk}/").content.decode()
    refused = client.post(f"/retention/holds/{hold.pk}/", {"pin": make.PIN})
    assert refused.status_code == 200
    client.force_login(perla.user)
    client.post(f"/retention/holds/{hold.pk}/", {"pin": make.PIN})
    hold.refresh_from_db()
    assert hold.ended_by == perla


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"incident": "the one in May"}, "Letters, digits"),
        ({"incident": "I-3"}, "Name the people, the task or the line"),
        ({"incident": "I-3", "task": "x"}, "Select a valid choice"),
    ],
)
def test_a_hold_that_cannot_be_is_said_and_stays(client, floor, hana, given, said):
    text = client.post("/retention/holds/", {**given, "pin": make.PIN}).content.decode()

    assert said in text
    assert f'value="{given["incident"]}"' in text
    assert not LegalHold.objects.exists()


def test_the_auditor_looks_and_does_not_erase(client, floor, perla):
    run_with_note(floor.trainee, floor, 300)
    client.force_login(perla.user)

    page = client.get("/retention/")

    assert page.context["form"] is None
    assert "Tove Brandvold: 1 text" in page.content.decode()
    assert client.post("/retention/", both(perla, evidence=[floor.trainee.pk])).status_code == 403


@pytest.mark.parametrize("size", [1, 4])
def test_the_pages_cost_the_same_queries_at_any_size(client, floor, hana, size, django_assert_num_queries):
    for number in range(size):
        run_with_note(make.make_person(floor.plant), floor, 300 + number)
        client.post("/retention/holds/", {"incident": f"I-{number}", "people": [floor.trainer.pk], "pin": make.PIN})
        leave(make.make_person(floor.plant), 250)
    client.get("/retention/")

    with django_assert_num_queries(16):
        client.get("/retention/")
    with django_assert_num_queries(10):
        client.get("/retention/holds/")


def test_everybody_takes_what_is_kept_about_them(client, floor):
    make.run(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)
    page = f"/people/{floor.trainee.pk}/data/"
    assert page in client.get("/my/").content.decode()
    assert "Entries of the ledger: 1" in client.get(page).content.decode()

    told = json.loads(client.get(f"/people/{floor.trainee.pk}/data.json").content)
    paper = client.get(f"/people/{floor.trainee.pk}/data.pdf")

    assert told["works_number"] == floor.trainee.works_number
    assert [line["kind"] for line in told["ledger"]] == ["run"]
    assert paper["Content-Type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF-")
    assert "Brandvold" not in paper["Content-Disposition"]


def test_nobody_takes_what_is_kept_about_somebody_else(client, floor, hana):
    client.force_login(floor.trainer.user)
    answers = [
        client.get(f"/people/{floor.trainee.pk}/{end}").status_code for end in ("data/", "data.json", "data.pdf")
    ]
    assert answers == [403, 403, 403]
    client.force_login(hana.user)
    assert client.get(f"/people/{floor.trainee.pk}/data.json").status_code == 200
    assert client.get(f"/people/{floor.trainee.pk}/data.xml").status_code == 404
