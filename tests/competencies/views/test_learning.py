"""The first page, signing in, and the learner's own pages."""

import pytest
from django.urls import reverse

from competencies.demo import signins
from competencies.vocabulary import AuthorityKind, ChangeClass
from tests import factories as make
from tests.answers import bare

pytestmark = pytest.mark.django_db


def test_each_sees_first_the_page_they_need(client, floor):
    supervisor, coordinator, auditor = (make.make_person(floor.plant) for _ in range(3))
    make.grant(supervisor, AuthorityKind.SUPERVISE)
    make.grant(coordinator, AuthorityKind.COORDINATE)
    make.grant(auditor, AuthorityKind.AUDIT)
    wanted = {floor.trainee: "my-page", floor.trainer: "floor", floor.assessor: "floor", supervisor: "floor"}
    for person, name in {**wanted, coordinator: "people", auditor: "people"}.items():
        client.force_login(person.user)
        assert client.get("/").url == reverse(f"competencies:{name}")


def test_nobody_sees_a_page_before_signing_in(client):
    assert client.get("/my/").url == "/sign-in/?next=/my/"


def test_signing_in_and_out(client, floor):
    floor.trainee.user.set_password(make.PASSWORD)
    floor.trainee.user.save()
    names = {"username": floor.trainee.user.username}
    wrong = client.post("/sign-in/", {**names, "password": "no"})
    assert wrong.status_code == 200
    assert floor.trainee.user.username in wrong.content.decode()
    assert client.post("/sign-in/", {**names, "password": make.PASSWORD}).url == "/"
    assert client.post("/sign-out/").url == "/sign-in/"
    assert client.get("/my/").status_code == 302


def test_five_wrong_passwords_close_the_door_in_words(client, floor):
    for _ in range(5):
        answer = client.post("/sign-in/", {"username": floor.trainee.user.username, "password": "no"})
    assert answer.status_code == 429
    assert "Too many tries" in answer.content.decode()


def test_demo_accounts_are_named_only_in_the_demo(client, settings, monkeypatch):
    monkeypatch.setattr(signins, "SIGN_INS", (signins.SignIn("tove", "a b c", "", "Trainee"),))
    settings.DEMO = True
    assert "tove" in client.get("/sign-in/").content.decode()
    settings.DEMO = False
    assert "tove" not in client.get("/sign-in/").content.decode()


def test_my_page_says_what_i_learn_and_what_is_missing(client, floor):
    make.run(floor.trainee, floor.task, floor.trainer)
    make.ask(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)
    text = client.get("/my/").content.decode()
    assert "1 of 2 runs" in text
    assert "1 more run" in text
    assert "Asked for today" in text


def test_my_page_says_what_i_may_do_alone_and_until_when(client, floor):
    make.hold(floor.trainee, floor.task)
    client.force_login(floor.trainee.user)
    text = client.get("/my/").content.decode()
    assert "In force" in text
    assert "until" in text


def test_my_page_asks_as_many_questions_for_many_tasks_as_for_one(client, floor, django_assert_num_queries):
    make.run(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)
    client.get("/my/")
    with django_assert_num_queries(15):
        client.get("/my/")
    for number in range(2, 6):
        task = make.make_task(floor.area, f"PK-0{number}")
        make.hold(floor.trainer, task, assessed=50)
        make.run(floor.trainee, task, floor.trainer)
    client.get("/my/")
    with django_assert_num_queries(15):
        client.get("/my/")


def test_my_task_shows_what_can_hurt_before_anything_else(client, floor):
    make.add_reading(floor.task)
    make.run(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)
    text = client.get("/my/PK-01/").content.decode()
    assert text.index("hot caustic") < text.index("PK-01 step 1") < text.index("38 to 42 mm")
    assert floor.trainer.name in text


def test_a_task_of_another_plant_is_not_there(client, floor):
    other = make.make_plant("birch-wharf", "Birch Wharf")
    make.make_task(make.make_area(other), "ZZ-01")
    client.force_login(floor.trainee.user)
    there, nowhere = client.get("/my/ZZ-01/"), client.get("/my/ZZ-99/")
    assert (there.status_code, bare(there)) == (404, bare(nowhere))


def test_a_minor_revision_is_acknowledged_with_the_pin(client, floor):
    make.hold(floor.trainer, floor.task, assessed=20)
    make.make_revision(floor.task, 2, change=ChangeClass.MINOR)
    client.force_login(floor.trainer.user)
    assert "A new revision waits to be read" in client.get("/my/").content.decode()
    refused = client.post("/my/PK-01/", {"pin": make.WRONG_PIN})
    assert refused.status_code == 200
    assert client.post("/my/PK-01/", {"pin": make.PIN}).url == "/my/"
    assert "A new revision waits to be read" not in client.get("/my/").content.decode()


def test_my_page_leads_to_my_own_record(client, floor):
    client.force_login(floor.trainee.user)

    page = client.get("/my/").text

    assert f'href="{reverse("competencies:record-print", args=[floor.trainee.pk])}"' in page
