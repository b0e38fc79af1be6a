"""Annulling with what follows shown first, the list under review, and the acts that follow a sign-off."""

import pytest
from django.urls import reverse

from competencies.models import LedgerIndex
from competencies.operations.annulments import put_under_review
from competencies.vocabulary import AuthorityKind, Criticality, Outcome
from tests import factories as make
from tests.competencies.operations.test_annulments import assessed, now

pytestmark = pytest.mark.django_db
REVIEWS = reverse("competencies:reviews")


@pytest.fixture
def coordinator(floor):
    person = make.make_person(floor.plant, "Hana Morrow", with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def judge(floor):
    return make_judge(floor)


def make_judge(floor):
    person = make.make_person(floor.plant, "Eli Tarrant", with_pin=True)
    make.grant(person, AuthorityKind.ASSESS)
    make.hold(person, floor.task, assessed=60)
    return person


def act_page(person, floor, verb):
    return reverse("competencies:task-act", args=[person.pk, floor.task.code, verb])


def entries(kind):
    return LedgerIndex.objects.filter(kind=kind)


# --- annulling


def annul_page(person, floor):
    return reverse("competencies:annul", args=[person.pk, floor.task.code])


def sent(response, **changes):
    """Return what a browser would send back from the page, with a reason and a PIN."""
    form = response.context["form"]
    signoff = form.chosen()
    given = {"entry": signoff.seq, "cause": "false_evidence", "unentitled_from": "", "reason": "never took place"}
    return {**given, "shown": form["shown"].value(), "pin": make.PIN, **changes}


def test_the_page_lists_what_goes_under_review_before_it_is_signed(client, floor, coordinator):
    other = make.make_person(floor.plant, "Ivo Sandell")
    assessed(floor, floor.trainee, ago=20)
    assessed(floor, other, ago=19)
    client.force_login(coordinator.user)

    response = client.get(annul_page(floor.trainee, floor))

    assert [loss.person for loss in response.context["preview"].losses] == [floor.trainee, other]
    assert "Ivo Sandell" in response.text
    assert "Counts no more from now" in response.text
    assert not entries("annulment").exists()

    response = client.post(annul_page(floor.trainee, floor), sent(response), follow=True)
    assert "1 other sign-off is under review" in response.text
    assert (entries("annulment").count(), entries("review").count()) == (1, 1)


def test_a_signature_covers_only_what_was_shown(client, floor, coordinator):
    assessed(floor, floor.trainee, ago=20)
    client.force_login(coordinator.user)
    shown = client.get(annul_page(floor.trainee, floor))
    assessed(floor, make.make_person(floor.plant, "Ivo Sandell"), ago=19)

    response = client.post(annul_page(floor.trainee, floor), sent(shown))

    assert "is not what was shown before" in response.text
    assert "never took place" in response.text
    assert "Ivo Sandell" in response.text
    assert not entries("annulment").exists()
    client.post(annul_page(floor.trainee, floor), sent(response))
    assert entries("annulment").count() == 1


def test_one_may_look_from_another_first_day_without_signing(client, floor, coordinator):
    assessed(floor, make.make_person(floor.plant, "Ivo Sandell"), ago=25)
    assessed(floor, floor.trainee, ago=20)
    client.force_login(coordinator.user)
    page = annul_page(floor.trainee, floor)
    assert "Ivo Sandell" not in client.get(page).text

    look = {"unentitled_from": make.days_ago(25).isoformat(), "reason": "half typed", "look": "1", "pin": "1"}
    response = client.post(page, look)

    assert "Ivo Sandell" in response.text
    assert "half typed" in response.text
    assert not entries("annulment").exists()
    client.post(page, sent(response, unentitled_from=look["unentitled_from"]))
    assert entries("review").count() == 1


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"pin": make.WRONG_PIN}, "PIN"),
        ({"reason": ""}, "required"),
        ({"unentitled_from": "2026-02-31"}, "valid date"),
        ({"entry": "999999"}, "valid choice"),
    ],
)
def test_bad_input_is_told_and_nothing_typed_is_lost(client, floor, coordinator, changes, says):
    assessed(floor, floor.trainee, ago=20)
    client.force_login(coordinator.user)
    page = annul_page(floor.trainee, floor)

    response = client.post(page, sent(client.get(page), **changes))

    assert response.status_code == 200
    assert says in response.text
    assert changes.get("reason", "never took place") in response.text
    assert not entries("annulment").exists()


def test_what_stands_against_it_is_told_before_it_is_signed(client, floor):
    make.grant(floor.assessor, AuthorityKind.COORDINATE)
    assessed(floor, floor.trainee, ago=20)
    client.force_login(floor.assessor.user)
    page = annul_page(floor.trainee, floor)

    response = client.get(page)

    assert "Nobody corrects or annuls a sign-off that they signed" in response.text
    response = client.post(page, sent(response))
    assert "Nobody corrects or annuls a sign-off that they signed" in response.text
    assert not entries("annulment").exists()


def test_only_a_coordinator_annuls(client, floor, judge):
    assessed(floor, floor.trainee, ago=20)
    for person in (floor.trainee, floor.trainer, judge):
        client.force_login(person.user)
        assert client.get(annul_page(floor.trainee, floor)).status_code == 403
        assert client.post(annul_page(floor.trainee, floor), {"pin": make.PIN}).status_code == 403
    assert not entries("annulment").exists()


def test_where_there_is_nothing_to_annul_the_page_says_so(client, floor, coordinator):
    client.force_login(coordinator.user)

    response = client.get(annul_page(floor.trainee, floor))

    assert "No sign-off to annul here." in response.text
    assert client.post(annul_page(floor.trainee, floor), {"pin": make.PIN}).status_code == 200


# --- the list, and looking again


def doubt(floor, coordinator, *, people=1):
    for number in range(people):
        person = make.make_person(floor.plant, f"Ivo Sandell {number}")
        signoff = assessed(floor, person, ago=20)
        put_under_review(signoff=signoff, holder=person, by=make.signer(coordinator), when=now())
    return person


@pytest.mark.parametrize("size", [1, 3])
def test_the_list_costs_the_same_queries_at_any_size(
    client, floor, coordinator, size, django_assert_max_num_queries, request
):
    doubt(floor, coordinator, people=size)
    client.force_login(coordinator.user)
    client.get(REVIEWS)

    with django_assert_max_num_queries(12):
        response = client.get(REVIEWS)

    assert len(response.context["lines"]) == size


def test_the_list_says_who_what_since_when_and_until_when(client, floor, coordinator):
    doubt(floor, coordinator)
    client.force_login(coordinator.user)

    text = client.get(REVIEWS).text

    assert "Ivo Sandell 0" in text
    assert f"by {floor.assessor.name}" in text
    assert "Counts until" in text
    assert "Annul it in turn" in text
    assert "Look at it again" not in text
    assert "Under review: 1" in client.get(reverse("competencies:people")).text


def test_an_empty_list_says_what_comes_there(client, floor, coordinator):
    client.force_login(coordinator.user)

    assert "Nothing is under review." in client.get(REVIEWS).text
    client.force_login(floor.trainer.user)
    assert client.get(REVIEWS).status_code == 403


def test_another_assessor_looks_again_and_the_first_may_not(client, floor, coordinator, judge):
    person = doubt(floor, coordinator)
    page = act_page(person, floor, "reverify")
    signoff = LedgerIndex.objects.get(kind="review").of
    given = {"entry": signoff, "reason": "watched a whole shift", "pin": make.PIN}

    client.force_login(floor.assessor.user)
    assert "Look at it again" not in client.get(REVIEWS).text
    assert "another assessor does" in client.get(page).text
    response = client.post(page, given)
    assert "another assessor does" in response.text
    assert "watched a whole shift" in response.text
    assert not entries("reverification").exists()

    client.force_login(judge.user)
    assert "Look at it again" in client.get(REVIEWS).text
    assert "would be refused" not in client.get(page).text
    assert client.post(page, given).status_code == 302
    assert entries("reverification").count() == 1
    assert "Look at it again" not in client.get(REVIEWS).text


def test_a_coordinator_puts_one_under_review(client, floor, coordinator):
    signoff = assessed(floor, floor.trainee, ago=20)
    client.force_login(coordinator.user)

    given = {"entry": signoff.seq, "reason": "asked by the moderator", "pin": make.PIN}
    assert client.post(act_page(floor.trainee, floor, "review"), given).status_code == 302

    assert entries("review").get().of == signoff.seq


# --- checks owed, attempts, conflicts


def test_a_second_signatory_asks_for_an_extra_check(client):
    floor = make.make_floor(criticality=Criticality.FOOD)
    signatory = make.make_person(floor.plant, with_pin=True)
    make.grant(signatory, AuthorityKind.SIGN_FOOD)
    page = act_page(floor.trainer, floor, "owe-check")
    client.force_login(signatory.user)

    assert client.get(page).status_code == 200
    assert client.post(page, {"cause": "near_miss", "pin": make.PIN}).status_code == 302
    assert entries("check_owed").count() == 1
    client.force_login(floor.trainer.user)
    assert client.get(page).status_code == 403


def test_an_extra_check_of_somebody_who_does_not_hold_the_task_is_refused(client, floor, coordinator):
    client.force_login(coordinator.user)
    page = act_page(floor.trainee, floor, "owe-check")

    assert "would be refused" in client.get(page).text
    response = client.post(page, {"cause": "near_miss", "reason": "slipped", "pin": make.PIN})
    assert "slipped" in response.text
    assert not entries("check_owed").exists()


def test_the_review_of_attempts_is_refused_before_there_are_three(client, floor, coordinator):
    assessed(floor, floor.trainee, ago=5, outcome=Outcome.NOT_YET_COMPETENT)
    client.force_login(coordinator.user)
    page = act_page(floor.trainee, floor, "review-attempts")

    assert "in a row to review" in client.get(page).text
    assert "in a row to review" in client.post(page, {"reason": "looked", "pin": make.PIN}).text
    assert not entries("attempts_reviewed").exists()


def test_a_conflict_is_declared_by_either_and_shown(client, floor):
    page = reverse("competencies:person-act", args=[floor.trainee.pk, "conflict"])
    given = {"other": floor.assessor.pk, "cause": "family", "from_on": make.today().isoformat(), "pin": make.PIN}
    client.force_login(floor.trainer.user)
    assert "One of the two people or a coordinator" in client.post(page, given).text
    assert not entries("conflict").exists()

    client.force_login(floor.assessor.user)
    ended = {**given, "until_on": make.today().isoformat()}
    assert "only a coordinator" in client.post(page, ended).text
    assert client.post(page, given).status_code == 302

    assert entries("conflict").count() == 1
    shown = client.get(reverse("competencies:person", args=[floor.trainee.pk])).text
    assert "Conflicts of interest" in shown
    client.force_login(floor.trainer.user)
    assert "Conflicts of interest" not in client.get(reverse("competencies:person", args=[floor.trainee.pk])).text


# --- the trainee's own


@pytest.fixture
def trainee(floor):
    person = make.make_person(floor.plant, "Tove Lindgren", with_pin=True)
    assessed(floor, person, ago=3, outcome=Outcome.NOT_YET_COMPETENT)
    return person


def outcome_page(floor):
    return reverse("competencies:my-outcome", args=[floor.task.code])


def test_a_trainee_sees_the_outcome_and_appeals(client, floor, trainee):
    client.force_login(trainee.user)
    task_page = client.get(reverse("competencies:my-task", args=[floor.task.code]))
    assert "Not yet competent" in task_page.text
    assert outcome_page(floor) in task_page.text

    seen = client.post(outcome_page(floor), {"remark": "", "pin": make.PIN, "seen": "1"}, follow=True)
    assert "Recorded as seen." in seen.text
    appealed = client.post(
        outcome_page(floor), {"remark": "the gauge was off", "pin": make.PIN, "appeal": "1"}, follow=True
    )

    assert "another assessor judges next" in appealed.text
    assert "the gauge was off" in appealed.text
    assert (entries("outcome_seen").count(), entries("appeal").count()) == (1, 1)
    again = client.post(outcome_page(floor), {"remark": "still", "pin": make.PIN, "appeal": "1"})
    assert "stands already" in again.text
    assert entries("appeal").count() == 1


def test_a_wrong_pin_keeps_the_remark(client, floor, trainee):
    client.force_login(trainee.user)

    response = client.post(outcome_page(floor), {"remark": "kept words", "pin": make.WRONG_PIN, "appeal": "1"})

    assert "kept words" in response.text
    assert not entries("appeal").exists()


def test_an_outcome_is_ones_own(client, floor, trainee):
    client.force_login(floor.trainee.user)

    assert client.get(outcome_page(floor)).status_code == 404
