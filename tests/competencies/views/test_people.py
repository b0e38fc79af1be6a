"""The list of people, one person, one person on a task, and what is signed there."""

from datetime import timedelta

import pytest

from competencies.models import Authority, Person
from competencies.operations.corrections import correct
from competencies.operations.decisions import When
from competencies.queries.facts import facts_of_people
from competencies.standing.replacing import Change
from competencies.vocabulary import CorrectionCause
from tests import factories as make
from tests.answers import bare

pytestmark = pytest.mark.django_db


def test_people_are_found_by_name_and_number_and_standing(office, floor):
    text = office.get("/people/", {"text": "brandv"}).content.decode()
    assert "Tove Brandvold" in text
    assert "Iolo Castellan" not in text
    assert "Iolo Castellan" in office.get("/people/", {"text": floor.trainer.works_number}).content.decode()
    text = office.get("/people/", {"standing": "in_force"}).content.decode()
    assert "Iolo Castellan" in text
    assert "Tove Brandvold" not in text


def test_the_list_of_people_asks_a_constant_number_of_questions(office, floor, django_assert_num_queries):
    office.get("/people/")
    with django_assert_num_queries(10):
        office.get("/people/")
    for _ in range(12):
        make.hold(make.make_person(floor.plant), floor.task)
    with django_assert_num_queries(10):
        office.get("/people/")


def test_a_trainee_sees_nobody_but_themselves(client, floor):
    client.force_login(floor.trainee.user)
    assert client.get("/people/").status_code == 403
    assert client.get(f"/people/{floor.trainer.pk}/").status_code == 403
    assert client.get(f"/people/{floor.trainee.pk}/").status_code == 200


def test_a_person_of_another_plant_is_not_there(office):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    there, nowhere = office.get(f"/people/{stranger.pk}/"), office.get("/people/12/")
    assert (there.status_code, bare(there)) == (404, bare(nowhere))


def test_a_person_is_shown_as_of_any_day_and_as_known_on_any_day(office, floor):
    make.hold(floor.trainee, floor.task, assessed=30)
    before, after = make.days_ago(40).isoformat(), make.days_ago(10).isoformat()
    page = f"/people/{floor.trainee.pk}/"
    assert "badge standing-in_force" in office.get(page, {"on": after}).content.decode()
    assert "badge standing-in_force" not in office.get(page, {"on": before}).content.decode()
    assert "badge standing-in_force" not in office.get(page, {"known": before}).content.decode()


def test_a_person_is_told_with_both_answers_where_they_differ(office, floor, coordinator):
    run = make.run(floor.trainee, floor.task, floor.trainer, ago=5)
    [fact] = [fact for fact in facts_of_people([floor.trainee.pk])[floor.trainee.pk] if fact.seq == run.seq]
    corrected_at = make.at(make.days_ago(1))
    correct(
        entry=fact,
        person=floor.trainee,
        by=make.signer(coordinator),
        when=When(happened_at=corrected_at, on=make.days_ago(1), now=corrected_at),
        change=Change(cause=CorrectionCause.ENTERED_IN_ERROR, reason="It was her brother."),
    )
    page, day = f"/people/{floor.trainee.pk}/", make.days_ago(3).isoformat()
    text = " ".join(office.get(page, {"on": day}).content.decode().split())
    assert "Learning, does not count for cover</td>" in text
    assert "Not started, does not count for cover</td>" in text
    assert f"/tasks/PK-01/?scope=&amp;on={day}" in text
    assert "Two answers" not in office.get(page).content.decode()


def test_a_task_is_shown_with_every_entry_and_who_entitled_the_assessor(office, floor):
    make.run(floor.trainee, floor.task, floor.trainer)
    text = office.get(f"/people/{floor.trainee.pk}/tasks/PK-01/").content.decode()
    assert "Supervised run" in text
    assert "Iolo Castellan" in text
    assert "Who stands behind it" in office.get(f"/people/{floor.trainer.pk}/tasks/PK-01/").content.decode()


def sign(client, floor, verb, person=None, **given):
    person = person or floor.trainer
    return client.post(f"/people/{person.pk}/tasks/PK-01/{verb}/", {"pin": make.PIN, **given})


def standing(client, person):
    return client.get(f"/people/{person.pk}/tasks/PK-01/").content.decode()


def test_a_sign_off_is_suspended_and_lifted(office, floor):
    assert sign(office, floor, "suspend", reason="foreign glass was found").status_code == 302
    assert "foreign glass was found" in standing(office, floor.trainer)
    assert "It is suspended" in standing(office, floor.trainer)
    assert sign(office, floor, "lift", reason="the glass was not ours").status_code == 302
    assert "Nothing stands against it." in standing(office, floor.trainer)
    again = sign(office, floor, "lift", reason="once more")
    assert "no suspension to lift" in again.content.decode()
    assert "once more" in again.content.decode()


def test_a_sign_off_is_withdrawn_to_the_minute(office, floor):
    since = (make.at(make.today(), "00:00") - timedelta(minutes=90)).strftime("%Y-%m-%dT%H:%M")
    assert sign(office, floor, "withdraw", reason="bypassed the guard", happened_at=since).status_code == 302
    assert "withdrawn for cause" in standing(office, floor.trainer)


def test_a_wrong_pin_and_a_refusal_lose_nothing_that_was_typed(office, floor):
    wrong = sign(office, floor, "suspend", reason="a long reason", pin=make.WRONG_PIN)
    assert "a long reason" in wrong.content.decode()
    refused = sign(office, floor, "suspend", person=floor.trainee, reason="nothing held")
    assert "There is no sign-off in force to act on." in refused.content.decode()
    assert "nothing held" in refused.content.decode()


def test_prior_competence_is_recognised_by_an_assessor(client, floor):
    client.force_login(floor.assessor.user)
    given = {
        "evidence_on": make.days_ago(90).isoformat(),
        "runs_needed": "1",
        "reason": "certificate of a sister site",
    }
    assert sign(client, floor, "recognise", person=floor.trainee, **given).status_code == 302
    assert "Prior competence recognised" in standing(client, floor.trainee)


def test_who_may_not_do_an_act_is_refused(client, floor):
    client.force_login(floor.trainer.user)
    for verb in ("suspend", "withdraw", "recognise", "accept-late"):
        assert client.get(f"/people/{floor.trainee.pk}/tasks/PK-01/{verb}/").status_code == 403
    for verb in ("grant", "end", "enrol", "decide-unit", "clear-pin", "open-sign-in", "close-sign-in", "rename"):
        assert client.get(f"/people/{floor.trainee.pk}/sign/{verb}/").status_code == 403


def test_a_role_is_granted_and_ended(office, floor):
    page = f"/people/{floor.trainee.pk}/sign"
    given = {"kind": "train", "from_on": make.days_ago(2).isoformat(), "pin": make.PIN}
    assert office.post(f"{page}/grant/", given).status_code == 302
    authority = Authority.objects.get(person=floor.trainee)
    given = {"authority": authority.pk, "last_day": make.today().isoformat(), "pin": make.PIN}
    assert office.post(f"{page}/end/", given).status_code == 302
    authority.refresh_from_db()
    assert authority.until_on == make.today()


def test_a_pin_is_taken_away_and_a_sign_in_opened_and_closed(office, floor):
    page = f"/people/{floor.trainer.pk}/sign"
    assert office.post(f"{page}/clear-pin/", {"pin": make.PIN}).status_code == 302
    assert Person.objects.get(pk=floor.trainer.pk).pin_hash == ""
    weak = office.post(f"{page}/open-sign-in/", {"username": "iolo", "password": "short", "pin": make.PIN})
    assert "too short" in weak.content.decode()
    given = {"username": "iolo", "password": make.PASSWORD, "pin": make.PIN}
    assert office.post(f"{page}/open-sign-in/", given).status_code == 302
    assert Person.objects.get(pk=floor.trainer.pk).user.check_password(make.PASSWORD)
    assert office.post(f"{page}/close-sign-in/", {"pin": make.PIN}).status_code == 302
    assert not Person.objects.get(pk=floor.trainer.pk).user.is_active


def test_a_name_to_sign_in_with_belongs_to_one_person(office, floor):
    given = {"username": floor.trainee.user.username.upper(), "password": make.PASSWORD, "pin": make.PIN}
    answer = office.post(f"/people/{floor.trainer.pk}/sign/open-sign-in/", given)
    assert "That name is taken." in answer.content.decode()


def test_a_past_day_of_a_person_costs_the_same_at_any_size(office, floor, django_assert_num_queries):
    page, asked = f"/people/{floor.trainer.pk}/", {"on": make.days_ago(20).isoformat()}
    office.get(page, asked)
    with django_assert_num_queries(18):
        office.get(page, asked)
    for number in range(2, 12):
        make.hold(floor.trainer, make.make_task(floor.area, f"PK-{number:02d}"), assessed=15)
    office.get(page, asked)
    with django_assert_num_queries(18):
        office.get(page, asked)
