"""Help that fades: what is shown of a problem, what is left blank, and what comes only when it is asked for."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.models import PracticeAttempt, StepsAsked
from assessments.operations.practice import rebuild_progress
from assessments.vocabulary import Help
from tests.assessments.practising import practise, slipped
from tests.factories import make_person, make_plant

pytestmark = pytest.mark.django_db
CODE, SEED = "C05-pressure", 12345  # four steps
NUMBER, TAG = re.compile(r"[\d−][\d.\u2009:-]*"), re.compile(r"<[^>]*>")


@pytest.fixture
def trainee(client):
    person = make_person(make_plant(), "Tove Brandvold")
    client.force_login(person.user)
    return person


@pytest.fixture
def made():
    return problem(CODE, SEED)


def problem_url(code=CODE, seed=SEED, query=""):
    return reverse("assessments:practice-problem", args=[code, seed]) + query


def open_page(client, **where):
    response = client.get(problem_url(**where))
    return response, response.content.decode()


def fields_of(response):
    form = response.context["form"]
    return {name: form[name].value() for name in ("shown", "seen")}


def shows(page, made, place):
    """Return whether the working of a step is on the page: its formula with the numbers, and its result."""
    return made.steps()[place].numbers in page


@pytest.mark.parametrize("code", sorted(calculations()))
def test_no_step_is_on_the_page_of_a_bare_problem_before_it_is_asked_for(client, trainee, code):
    practise(trainee, code)
    made = problem(code, SEED)
    response, page = open_page(client, code=code)
    # What is chosen from, and the form's own words, are the same whatever the figures are.
    figures = set(NUMBER.findall(TAG.sub(" ", page.partition("<main")[2].partition(">")[2].partition("<form")[0])))
    stated = set(NUMBER.findall(" ".join([*made.stated_givens.values(), made.calculation.asks])))
    stated |= set(NUMBER.findall(" ".join([made.calculation.title, code, *made.stated_givens])))

    for step in made.steps():
        assert step.numbers not in page
        assert step.symbols not in page
        assert step.result not in figures - stated
    assert response.context["steps"] == []


def test_first_problem_of_a_kind_is_worked_out_to_read(client, trainee):
    response = client.get(reverse("assessments:practice-next", args=[CODE]), follow=True)

    page = response.content.decode()
    assert response.redirect_chain[-1][0] == reverse("assessments:practice-worked", args=[CODE])
    assert all(shows(page, response.context["problem"], place) for place in range(4))
    assert "Read it through" in page
    assert reverse("assessments:practice-next", args=[CODE]) + "?read=1" in page


def test_reading_another_time_shows_other_figures(client, trainee):
    url = reverse("assessments:practice-worked", args=[CODE])
    first = client.get(url).context["problem"].givens
    practise(trainee, CODE, is_right=False)

    assert client.get(url).context["problem"].givens != first


def test_after_reading_the_last_step_is_left_blank(client, trainee, made):
    response, page = open_page(client)

    assert [shows(page, made, place) for place in range(4)] == [True, True, True, False]
    assert "The last step is left to you." in page
    assert not [name for name in response.context["form"].fields if name.startswith("step")]


def test_right_with_the_last_step_blank_leads_to_the_last_two(client, trainee, made):
    response, _page = open_page(client)
    mark = client.post(problem_url(), {**fields_of(response), "answer": made.stated_answer}, follow=True)

    assert PracticeAttempt.objects.get().help == Help.GIVEN
    assert "Next time the last two steps are left to you." in mark.content.decode()
    other = problem(CODE, 777)
    response, page = open_page(client, seed=777)
    assert [shows(page, other, place) for place in range(4)] == [True, True, False, False]
    assert response.context["laid"].blanks == (2,)
    assert "Step 3" in page


@pytest.fixture
def two_blank(client, trainee):
    practise(trainee, CODE, seed=5, help=Help.GIVEN)
    response = client.get(problem_url())
    assert response.context["laid"].blanks == (2,)
    return response


def test_blank_step_is_marked_like_an_answer(client, two_blank, made):
    step = made.steps()[2]
    posted = {**fields_of(two_blank), "step3": step.result, "answer": made.stated_answer}

    mark = client.post(problem_url(), posted, follow=True)

    attempt = PracticeAttempt.objects.latest("pk")
    assert (attempt.verdict, attempt.help) == ("right", "given")
    assert [(kept["step"], kept["is_right"]) for kept in attempt.step_answers] == [(3, True)]
    assert "Next time all of it is yours." in mark.content.decode()


def test_wrong_blank_step_is_told_and_holds_the_person_where_they_are(client, two_blank, made):
    posted = {**fields_of(two_blank), "step3": "999", "answer": made.stated_answer}

    page = client.post(problem_url(), posted, follow=True).content.decode()

    assert PracticeAttempt.objects.latest("pk").step_answers[0]["is_right"] is False
    assert "not yet" in page
    assert "Next time the last two steps are left to you." in page


@pytest.mark.parametrize(
    ("typed", "message"),
    [("", "required"), ("warm", "starts with no number"), ("5 <b>x</b>", "not a unit"), ("9" * 90, "at most 80")],
)
def test_blank_step_that_cannot_be_read_is_asked_about_and_nothing_is_lost(client, two_blank, typed, message):
    posted = {**fields_of(two_blank), "step3": typed, "answer": "5,06", "unit": "g/L"}

    response = client.post(problem_url(), posted)

    form = response.context["form"]
    assert message in " ".join(form.errors["step3"])
    assert [form[name].value() for name in ("step3", "answer", "unit")] == [typed, "5,06", "g/L"]
    assert PracticeAttempt.objects.count() == 1


def test_step_is_shown_when_it_is_asked_for_and_what_was_typed_stays(client, trainee, made):
    practise(trainee, CODE, seed=5)
    response, _page = open_page(client)

    asked = client.post(problem_url(), {**fields_of(response), "answer": "4,", "unit": "g/L", "ask": "x"})

    page = asked.content.decode()
    assert [shows(page, made, place) for place in range(4)] == [True, False, False, False]
    assert asked.context["form"]["answer"].value() == "4,"
    assert asked.context["form"]["unit"].value() == "g/L"
    assert asked.context["form"].errors == {}
    assert not PracticeAttempt.objects.filter(seed=SEED).exists()


def test_page_that_is_sent_again_asks_for_no_further_step(client, trainee, made):
    practise(trainee, CODE, seed=5)
    response, _page = open_page(client)
    posted = {**fields_of(response), "answer": "", "ask": "x"}

    pages = [client.post(problem_url(), posted).content.decode() for _ in range(3)]

    assert StepsAsked.objects.get().steps == 1
    assert not any(shows(page, made, 1) for page in pages)


def test_steps_asked_for_are_still_there_when_the_page_is_opened_again(client, trainee, made):
    practise(trainee, CODE, seed=5)
    response, _page = open_page(client)
    client.post(problem_url(), {**fields_of(response), "ask": "x"})

    _response, page = open_page(client)

    assert [shows(page, made, place) for place in range(4)] == [True, False, False, False]


def test_answer_after_asking_is_kept_as_helped(client, trainee, made):
    practise(trainee, CODE, seed=5)
    response, _page = open_page(client)
    asked = client.post(problem_url(), {**fields_of(response), "ask": "x"})

    mark = client.post(problem_url(), {**fields_of(asked), "answer": made.stated_answer}, follow=True)

    assert PracticeAttempt.objects.latest("pk").help == Help.ASKED
    assert "Kept as helped" in mark.content.decode()


def test_whole_working_can_be_asked_for_and_counts_as_not_known(client, trainee, made):
    practise(trainee, CODE, seed=5, ago=timedelta(days=2))
    response, _page = open_page(client)
    for _ in range(4):
        response = client.post(problem_url(), {**fields_of(response), "ask": "x"})

    page = response.content.decode()
    assert all(shows(page, made, place) for place in range(4))
    assert "Show me the next step" not in page
    client.post(problem_url(), {**fields_of(response), "answer": made.stated_answer})
    assert PracticeAttempt.objects.latest("pk").help == Help.WHOLE


def test_wrong_twice_running_brings_a_step_back(client, trainee):
    practise(trainee, CODE, seed=5)
    for seed in (6, 7):
        url = problem_url(seed=seed)
        posted = {**fields_of(client.get(url)), "answer": slipped(problem(CODE, seed))}
        page = client.post(url, posted, follow=True).content.decode()

    assert "Next time the last two steps are left to you." in page


def test_one_who_knows_it_may_do_without_help(client, trainee, made):
    response = client.get(reverse("assessments:practice-next", args=[CODE]) + "?alone=1", follow=True)
    assert response.context["steps"] == []

    _response, page = open_page(client, query="?alone=1")
    posted = {**fields_of(_response), "answer": made.stated_answer}
    client.post(problem_url(), posted)

    assert not any(shows(page, made, place) for place in range(4))
    assert PracticeAttempt.objects.get().help == Help.NONE


def test_what_was_shown_decides_though_the_stage_has_moved_on_since(client, trainee, made):
    response, _page = open_page(client)
    practise(trainee, CODE, seed=5)

    client.post(problem_url(), {**fields_of(response), "answer": made.stated_answer})

    assert PracticeAttempt.objects.latest("pk").help == Help.GIVEN


@pytest.mark.parametrize("shown", ["", "made up", "x" * 5000])
def test_showing_that_is_not_ours_is_left_out(client, trainee, made, shown):
    client.post(problem_url(), {"shown": shown, "answer": made.stated_answer})

    assert PracticeAttempt.objects.get().seconds is None


@pytest.mark.parametrize(("away", "seconds"), [("0", 0), ("", 0), ("x", 0), ("99999999999", 0), ("5000", None)])
def test_time_away_is_no_working_time(client, trainee, made, away, seconds):
    response, _page = open_page(client)

    client.post(problem_url(), {**fields_of(response), "away": away, "answer": made.stated_answer})

    assert PracticeAttempt.objects.get().seconds == seconds


def test_mark_names_what_comes_next_and_why(client, trainee):
    attempt = practise(trainee, CODE)

    response = client.get(reverse("assessments:practice-mark", args=[attempt.pk]))

    assert response.context["next"].calculation.family != calculations()[CODE].family
    assert response.context["next"].why in response.content.decode()
    assert rebuild_progress(person=trainee) == 1
