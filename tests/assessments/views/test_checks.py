"""Checks on the pages: opened, sat, written into the ledger once; and who may not."""

import pytest
from django.urls import reverse

from assessments.generation import problem
from assessments.models import CheckAnswer, CheckSitting
from competencies.ledger.reading import facts_of
from competencies.models import LedgerEntry, TaskCalculation
from competencies.vocabulary import AuthorityKind
from tests.assessments.sittings import sitting_for
from tests.factories import PIN, WRONG_PIN, Asked, grant, make_floor, make_person, make_plant

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make_floor(asked=Asked(calculations=("C03", "C10")))


@pytest.fixture
def sitting(floor):
    return sitting_for(floor.trainee, floor.trainer)


def url(name, *arguments):
    return reverse(f"assessments:{name}", args=arguments)


def right_answer(sitting, number):
    code, seed = sitting.problem_seeds[number - 1]
    return problem(code, seed).stated_answer


def start(client, sitting):
    return client.post(url("check-start", sitting.pk))


def give(client, sitting, number, typed):
    return client.post(url("check-sit", sitting.pk), {"answer": typed, "shown": str(number)})


def sit_all(client, sitting, *, wrong=0):
    start(client, sitting)
    for number in range(1, sitting.problems + 1):
        response = give(client, sitting, number, "1 kg" if number <= wrong else right_answer(sitting, number))
    return response


def open_form(floor, **changes):
    return {"person": floor.trainee.pk, "calculation": "C03", "pin": PIN, **changes}


def test_check_is_opened_with_the_terms_of_the_task(client, floor):
    TaskCalculation.objects.filter(calculation="C03").update(problems=7, pass_mark=6)
    client.force_login(floor.trainer.user)

    response = client.post(url("check-open"), open_form(floor))

    sitting = CheckSitting.objects.get()
    assert response.url == url("check", sitting.pk)
    assert (sitting.trainee, sitting.opened_by, sitting.proof) == (floor.trainee, floor.trainer, "pin")
    assert (sitting.problems, sitting.pass_mark, len(sitting.problem_seeds)) == (7, 6, 7)


def test_check_form_is_filled_in_from_the_address(client, floor):
    client.force_login(floor.trainer.user)

    form = client.get(url("check-open"), {"person": floor.trainee.pk, "calculation": "C03"}).context["form"]

    assert str(form["person"].value()) == str(floor.trainee.pk)
    assert form["calculation"].value() == "C03"


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"pin": WRONG_PIN}, "not the PIN"),
        ({"pin": ""}, "required"),
        ({"calculation": "C19"}, "Select a valid choice"),
        ({"person": 1}, "Select a valid choice"),
    ],
)
def test_check_is_not_opened_with_a_fault(client, floor, changes, message):
    client.force_login(floor.trainer.user)

    response = client.post(url("check-open"), open_form(floor, **changes))

    assert message in response.content.decode()
    assert not CheckSitting.objects.exists()


def test_nobody_opens_a_check_for_themselves(client, floor):
    client.force_login(floor.trainer.user)

    response = client.post(url("check-open"), open_form(floor, person=floor.trainer.pk))

    assert response.status_code == 200
    assert not CheckSitting.objects.exists()


def test_second_open_check_of_the_same_is_refused(client, floor, sitting):
    client.force_login(floor.trainer.user)

    response = client.post(url("check-open"), open_form(floor, calculation=sitting.calculation))

    assert "open check of this already" in response.content.decode()
    assert CheckSitting.objects.count() == 1


def test_trainee_may_not_open_a_check(client, floor):
    client.force_login(floor.trainee.user)

    assert client.get(url("check-open")).status_code == 403
    assert client.post(url("check-open"), open_form(floor)).status_code == 403
    assert client.get(url("check-list")).status_code == 403
    assert not CheckSitting.objects.exists()


def test_people_of_another_plant_are_not_offered(client, floor):
    stranger = make_person(make_plant("elm-weir", "Elm Weir"))
    client.force_login(floor.trainer.user)

    assert (
        "Select a valid choice"
        in client.post(url("check-open"), open_form(floor, person=stranger.pk)).content.decode()
    )


@pytest.mark.parametrize("who", ["trainee", "trainer"])
def test_check_is_sat_on_the_own_phone_or_the_tablet_and_lands_in_the_ledger(client, floor, sitting, who):
    before = LedgerEntry.objects.count()
    client.force_login(getattr(floor, who).user)

    response = sit_all(client, sitting, wrong=1)

    sitting.refresh_from_db()
    assert response.url == url("check", sitting.pk)
    assert (sitting.right, sitting.problems) == (4, 5)
    [fact] = facts_of(LedgerEntry.objects.filter(seq=sitting.entry_seq))
    assert LedgerEntry.objects.count() == before + 1
    assert (fact.person, fact.by, fact.calculation, fact.passed) == (floor.trainee.pk, floor.trainer.pk, "C03", True)
    page = client.get(response.url).content.decode()
    assert "Passed" in page
    assert "<math" in page


def test_failed_check_is_recorded_too(client, floor, sitting):
    client.force_login(floor.trainee.user)

    response = sit_all(client, sitting, wrong=3)

    sitting.refresh_from_db()
    assert sitting.right == 2
    assert sitting.entry_seq
    assert "Not passed yet" in client.get(response.url).content.decode()


def test_everything_about_an_answer_is_kept(client, floor, sitting):
    client.force_login(floor.trainee.user)
    start(client, sitting)

    give(client, sitting, 1, "58,6 °C")

    kept = CheckAnswer.objects.get()
    code, seed = sitting.problem_seeds[0]
    assert (kept.number, kept.calculation, kept.seed, kept.typed) == (1, code, seed, "58,6 °C")
    assert kept.givens == problem(code, seed).stated_givens
    assert kept.answer == right_answer(sitting, 1)
    assert kept.verdict
    assert kept.seconds >= 0
    assert kept.at


def test_nothing_is_told_before_the_last_answer(client, floor, sitting):
    client.force_login(floor.trainee.user)
    start(client, sitting)
    code, seed = sitting.problem_seeds[0]
    made = problem(code, seed)
    slip = made.slips[0]

    give(client, sitting, 1, f"{made.calculation.answer.show(made.slip_value(slip))} {made.unit}")

    for page in (client.get(url("check-sit", sitting.pk)), client.get(url("check", sitting.pk))):
        text = page.content.decode()
        assert slip.name not in text
        assert slip.name.capitalize() not in text
        assert made.stated_answer not in text
        assert "Not yet" not in text
        assert 'display="block"' not in text


def test_unreadable_answer_is_asked_about_and_not_kept(client, floor, sitting):
    client.force_login(floor.trainee.user)
    start(client, sitting)

    response = give(client, sitting, 1, "warm")

    assert "starts with no number" in response.content.decode()
    assert not CheckAnswer.objects.exists()


def test_missing_unit_is_asked_about_before_it_can_cost_anything(client, floor, sitting):
    client.force_login(floor.trainee.user)
    start(client, sitting)

    response = give(client, sitting, 1, right_answer(sitting, 1).split()[0])

    assert "Choose the unit" in response.content.decode()
    assert not CheckAnswer.objects.exists()


def test_answer_sent_twice_stands_once(client, floor, sitting):
    client.force_login(floor.trainee.user)
    start(client, sitting)

    give(client, sitting, 1, "1 °C")
    response = give(client, sitting, 1, right_answer(sitting, 1))

    assert response.status_code == 302
    assert CheckAnswer.objects.get().typed == "1 °C"


def test_finished_check_takes_no_more_answers(client, floor, sitting):
    client.force_login(floor.trainee.user)
    sit_all(client, sitting)
    before = LedgerEntry.objects.count()

    response = give(client, sitting, 5, "1 °C")

    assert response.url == url("check", sitting.pk)
    assert LedgerEntry.objects.count() == before


def test_check_shows_no_menu_while_it_is_taken(client, floor, sitting):
    client.force_login(floor.trainer.user)

    opening = client.get(url("check-sit", sitting.pk)).content.decode()
    start(client, sitting)
    sitting_page = client.get(url("check-sit", sitting.pk)).content.decode()

    assert "site-nav" not in opening + sitting_page
    assert "site-nav" in client.get(url("check", sitting.pk)).content.decode()


def test_waiting_check_stands_on_the_practice_page(client, floor, sitting):
    client.force_login(floor.trainee.user)

    assert url("check-sit", sitting.pk) in client.get(url("practice-list")).content.decode()


def test_others_neither_sit_nor_read_a_check(client, floor, sitting):
    other = make_person(floor.plant, "Ines Marr")
    client.force_login(other.user)

    assert client.get(url("check", sitting.pk)).status_code == 403
    assert client.get(url("check-sit", sitting.pk)).status_code == 403
    assert client.post(url("check-start", sitting.pk)).status_code == 403
    assert client.get(url("check-call-off", sitting.pk)).status_code == 403


def test_another_trainer_reads_but_does_not_sit(client, floor, sitting):
    client.force_login(floor.assessor.user)

    assert client.get(url("check", sitting.pk)).status_code == 200
    assert client.get(url("check-sit", sitting.pk)).status_code == 403


def test_check_of_another_plant_is_not_there(client, sitting):
    stranger = make_person(make_plant("elm-weir", "Elm Weir"))
    grant(stranger, *AuthorityKind)
    client.force_login(stranger.user)

    for name in ("check", "check-sit", "check-call-off"):
        assert client.get(url(name, sitting.pk)).status_code == 404


def test_check_is_called_off_by_who_may_open_one(client, floor, sitting):
    client.force_login(floor.assessor.user)

    assert "ends without a result" in client.get(url("check-call-off", sitting.pk)).content.decode()
    response = client.post(url("check-call-off", sitting.pk))

    sitting.refresh_from_db()
    assert response.url == url("check-list")
    assert sitting.called_off_at
    assert sitting.entry_seq is None
    assert client.get(url("check", sitting.pk)).status_code == 200


def test_trainee_may_not_call_a_check_off(client, floor, sitting):
    grant(floor.trainee, AuthorityKind.TRAIN)
    client.force_login(floor.trainee.user)

    assert client.post(url("check-call-off", sitting.pk)).status_code == 403
    sitting.refresh_from_db()
    assert sitting.called_off_at is None


def test_finished_check_cannot_be_called_off(client, floor, sitting):
    client.force_login(floor.trainer.user)
    sit_all(client, sitting)

    client.post(url("check-call-off", sitting.pk))

    sitting.refresh_from_db()
    assert sitting.called_off_at is None


@pytest.mark.parametrize("size", [1, 4])
def test_list_costs_the_same_queries_at_any_size(client, floor, size, django_assert_num_queries):
    for number in range(size):
        sitting_for(make_person(floor.plant, f"Trainee {number}"), floor.trainer)
    client.force_login(floor.trainer.user)

    with django_assert_num_queries(7):
        response = client.get(url("check-list"))

    assert len(response.context["rows"]) == size


@pytest.mark.parametrize("name", ["check-list", "check-open"])
def test_checks_need_a_sign_in(client, settings, name):
    settings.LOGIN_URL = "/sign-in/"

    assert client.get(url(name)).url.startswith("/sign-in/")


def test_result_that_the_rule_refuses_is_told_and_can_be_handed_in_later(client, floor):
    # The opener's name stands in for the trainee's only in a broken row: the ledger's rule has the last word.
    sitting = sitting_for(floor.trainee, floor.trainer)
    CheckSitting.objects.filter(pk=sitting.pk).update(opened_by=floor.trainee)
    client.force_login(floor.trainee.user)

    response = sit_all(client, sitting)

    sitting.refresh_from_db()
    assert sitting.finished_at is None
    assert "tone-stop" in client.get(response.url).content.decode()
    CheckSitting.objects.filter(pk=sitting.pk).update(opened_by=floor.trainer)
    assert "Hand in" in client.get(url("check-sit", sitting.pk)).content.decode()
    client.post(url("check-sit", sitting.pk))
    sitting.refresh_from_db()
    assert sitting.entry_seq
