"""Practice on the pages: the list, a problem, its mark, and that it stays the person's own."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.models import PracticeAttempt
from competencies.models import LedgerEntry, User
from competencies.vocabulary import AuthorityKind
from tests.factories import Asked, ask, grant, make_area, make_floor, make_person, make_plant, make_task

pytestmark = pytest.mark.django_db

CODE, SEED = "C03-strike", 12345


@pytest.fixture
def trainee(client):
    person = make_person(make_plant(), "Tove Brandvold")
    client.force_login(person.user)
    return person


def problem_url(code=CODE, seed=SEED):
    return reverse("assessments:practice-problem", args=[code, seed])


def answer(client, typed, *, unit="", code=CODE, seed=SEED, shown=None):
    url = problem_url(code, seed)
    if shown is None:
        shown = client.get(url).context["form"]["shown"].initial
    return client.post(url, {"answer": typed, "unit": unit, "shown": shown}, follow=True)


def test_list_shows_every_calculation_by_family(client, trainee):
    response = client.get(reverse("assessments:practice-list"))

    assert response.status_code == 200
    for code in calculations():
        assert reverse("assessments:practice-next", args=[code]) in response.content.decode()


def test_list_puts_the_coming_tasks_first(client):
    floor = make_floor(asked=Asked(calculations=("C10",)))
    ask(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)

    coming = client.get(reverse("assessments:practice-list")).context["list"].coming

    assert {entry.calculation.framework_code for entry in coming} == {"C10"}
    assert {entry.tasks for entry in coming} == {("PK-01",)}


@pytest.mark.parametrize("size", [1, 6])
def test_list_costs_the_same_queries_at_any_size(client, size, django_assert_num_queries):
    floor = make_floor()
    for number in range(size):
        task = make_task(make_area(floor.plant), f"PK-1{number}", asked=Asked(calculations=("C10", "C12")))
        ask(floor.trainee, task, floor.trainer)
    client.force_login(floor.trainee.user)
    answer(client, "1")

    with django_assert_num_queries(14):
        response = client.get(reverse("assessments:practice-list"))

    assert len(response.context["list"].coming[0].tasks) == size


def test_next_problem_leads_to_a_fresh_seed(client, trainee):
    url = reverse("assessments:practice-next", args=[CODE]) + "?read=1"

    addresses = {client.get(url).url for _ in range(5)}

    assert len(addresses) == 5
    assert all(re.fullmatch(r"/practice/C03-strike/\d+/", address) for address in addresses)


def test_problem_states_its_givens_and_keeps_its_answer(client, trainee):
    page = client.get(problem_url()).content.decode()
    made = problem(CODE, SEED)

    for given in made.calculation.givens:
        assert given.show(made.givens[given.name]) in page
    assert made.answer_shown not in page
    assert "scald" in page


def test_phone_keys_fit_the_answer(client, trainee):
    keys = {
        "C03-strike": 'inputmode="decimal"',
        "C13-skew": 'inputmode="text"',
        "C16-stock": 'inputmode="numeric"',
        "C15-check_digit": 'inputmode="numeric"',
        "C14-best_before": 'inputmode="text"',
        "C02-iodine": 'type="radio"',
    }

    for code, expected in keys.items():
        assert expected in client.get(problem_url(code)).content.decode(), code


def test_right_answer_is_told_and_kept(client, trainee):
    made = problem(CODE, SEED)

    response = answer(client, f"{made.answer_shown} °C")

    attempt = PracticeAttempt.objects.get()
    assert (attempt.person, attempt.verdict, attempt.typed) == (trainee, "right", f"{made.answer_shown} °C")
    assert attempt.givens == made.stated_givens
    assert attempt.answer == f"{made.answer_shown} °C"
    assert attempt.seconds == 0
    assert "Right." in response.content.decode()


def test_chosen_unit_counts_like_a_typed_one(client, trainee):
    answer(client, problem(CODE, SEED).answer_shown, unit="°C")

    assert PracticeAttempt.objects.get().verdict == "right"


def test_typed_unit_comes_before_the_chosen_one(client, trainee):
    answer(client, f"{problem(CODE, SEED).answer_shown} °C", unit="kg")

    assert PracticeAttempt.objects.get().verdict == "right"


def test_missing_unit_is_told_kindly(client, trainee):
    response = answer(client, problem(CODE, SEED).answer_shown)

    assert PracticeAttempt.objects.get().verdict == "unit_missing"
    assert "the unit is missing" in response.content.decode()


def test_slip_is_named_with_advice_steps_source_and_caution(client, trainee):
    made = problem(CODE, SEED)
    slip = made.slips[0]

    page = answer(client, f"{made.calculation.answer.show(made.slip_value(slip))} °C").content.decode()

    assert slip.name.capitalize() in page
    assert slip.advice in page
    assert "<math" in page
    assert "Heat balance" in page
    assert "scald" in page
    assert reverse("assessments:practice-next", args=[CODE]) in page


@pytest.mark.parametrize("code", sorted(calculations()))
def test_every_calculation_can_be_answered_on_its_page(client, trainee, code):
    made = problem(code, SEED)

    response = answer(client, made.stated_answer, code=code)

    assert response.status_code == 200
    assert PracticeAttempt.objects.get().verdict == "right"
    assert "Right." in response.content.decode()


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("warm", "starts with no number"),
        ("1,234", "can mean"),
        ("5 <b>furlongs</b>", "not a unit"),
        ("", "required"),
        ("9" * 50, "longer than 40"),
    ],
)
def test_what_cannot_be_read_is_asked_about_and_stays(client, trainee, typed, message):
    response = answer(client, typed)

    page = response.content.decode()
    assert message in page
    assert "<b>furlongs" not in page
    assert response.context["form"]["answer"].value() == typed
    assert not PracticeAttempt.objects.exists()


def test_answer_sent_twice_is_kept_once(client, trainee):
    shown = client.get(problem_url()).context["form"]["shown"].initial

    first, second = (answer(client, "70 °C", shown=shown) for _ in range(2))

    assert PracticeAttempt.objects.count() == 1
    assert first.redirect_chain == second.redirect_chain


def test_tampered_time_is_left_out(client, trainee):
    answer(client, "70 °C", shown="made up")

    assert PracticeAttempt.objects.get().seconds is None


def test_attempt_is_closed_to_everybody_else(client, trainee):
    answer(client, "70 °C")
    attempt = PracticeAttempt.objects.get()
    boss = make_person(trainee.plant, "Iolo Castellan")
    grant(boss, *AuthorityKind)
    url = reverse("assessments:practice-mark", args=[attempt.pk])

    assert client.get(url).status_code == 200
    client.force_login(boss.user)
    assert client.get(url).status_code == 404


def test_attempt_of_a_calculation_that_has_changed_shows_what_was_kept(client, trainee):
    attempt = PracticeAttempt.objects.create(
        person=trainee,
        calculation=CODE,
        seed=SEED,
        givens={"target mash temperature": "60.0 °C"},
        answer="66.6 °C",
        typed="55.5 °C",
        verdict="slip",
        slips=["sign of the difference"],
        at=timezone.now() - timedelta(days=400),
    )

    page = client.get(reverse("assessments:practice-mark", args=[attempt.pk])).content.decode()

    assert "66.6 °C" in page
    assert "sign of the difference" in page
    assert "Worked out" not in page


@pytest.mark.parametrize("url", ["/practice/C99-none/", "/practice/C99-none/1/", f"/practice/{CODE}/{2**31}/"])
def test_unknown_problem_is_not_there(client, trainee, url):
    assert client.get(url).status_code == 404


@pytest.mark.parametrize("url", ["/practice/", f"/practice/{CODE}/", f"/practice/{CODE}/1/", "/practice/answers/1/"])
def test_practice_needs_a_sign_in_with_a_person(client, settings, url):
    settings.LOGIN_URL = "/sign-in/"

    assert client.get(url).url.startswith("/sign-in/")

    client.force_login(User.objects.create(username="nobody"))
    assert client.get(url).status_code == 403


def test_practice_leaves_no_trace_in_the_ledger(client, trainee):
    answer(client, "70 °C")

    assert PracticeAttempt.objects.exists()
    assert not LedgerEntry.objects.exists()


def test_practice_is_in_the_data_of_its_person_and_of_nobody_who_hands_it_out(client, trainee):
    answer(client, "70 °C")
    coordinator = make_person(trainee.plant, "Sunniva Achterberg")
    grant(coordinator, AuthorityKind.COORDINATE)
    url = reverse("competencies:person-data-file", args=[trainee.pk, "json"])
    page = reverse("competencies:person-data", args=[trainee.pk])

    own = client.get(url).json()["tables"]
    client.force_login(coordinator.user)
    handed_out = client.get(url).json()["tables"]

    private = {"assessments.PracticeAttempt", "assessments.PracticeProgress"}
    assert private <= set(own)
    assert set(own) - set(handed_out) == private
    assert "Practice is left out" in client.get(page).content.decode()
