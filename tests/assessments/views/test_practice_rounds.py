"""A five-minute round: begun by one button, gone on with where it was, ended calmly, seen by its person alone."""

from datetime import timedelta
from itertools import pairwise

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from assessments.calculations import calculations
from assessments.forms.practice import Showing, showing_in
from assessments.generation import problem
from assessments.models import PracticeAttempt, PracticeRound
from assessments.operations.practice_rounds import start_round
from tests.assessments.practising import practise, slipped
from tests.factories import make_person, make_plant

pytestmark = pytest.mark.django_db
ROUND = "/practice/round/"


@pytest.fixture
def trainee(client):
    person = make_person(make_plant(), "Tove Brandvold")
    client.force_login(person.user)
    for number, code in enumerate(calculations()):
        practise(person, code, seed=number, ago=timedelta(days=30))
    return person


@pytest.fixture
def running(client, trainee):
    client.post(ROUND)
    return PracticeRound.objects.get()


def answer_next(client, *, is_right=True, after=30, away=""):
    """Answer the problem of the open round as if it had been shown so many seconds ago."""
    running = PracticeRound.objects.get(ended_at=None)
    url = reverse("assessments:practice-problem", args=[running.calculation, running.seed])
    shown = showing_in(client.get(url).context["form"]["shown"].value())
    earlier = Showing(shown.token, shown.at - after, shown.stage).signed()
    made = problem(running.calculation, running.seed)
    typed = made.stated_answer if is_right else slipped(made)
    posted = {"shown": earlier, "answer": typed, "away": away}
    return client.post(url, posted, follow=True)


def test_button_begins_a_round_at_what_comes_next(client, trainee):
    response = client.post(ROUND, follow=True)

    running = PracticeRound.objects.get()
    assert (running.person, running.used_seconds, running.ended_at) == (trainee, 0, None)
    page = response.content.decode()
    assert "about 5 minutes left" in page
    assert "You were last right 30 days ago." in page
    assert " autofocus" in page


def test_second_press_goes_on_with_the_same_round(client, running):
    client.post(ROUND)

    assert PracticeRound.objects.get() == running


def test_round_goes_from_problem_to_problem_of_another_family(client, running):
    families = []
    for _ in range(4):
        families.append(calculations()[PracticeRound.objects.get().calculation].family)
        page = answer_next(client).content.decode()
        assert "Go on" in page

    assert all(one is not other for one, other in pairwise(families))
    assert PracticeAttempt.objects.filter(round=running).count() == 4
    assert PracticeRound.objects.get().used_seconds == pytest.approx(120, abs=4)


def test_round_ends_when_its_time_is_up_and_the_last_problem_is_finished(client, running):
    PracticeRound.objects.update(used_seconds=299)

    page = answer_next(client, after=100).content.decode()

    running.refresh_from_db()
    assert running.ended_at is not None
    assert running.used_seconds == pytest.approx(399, abs=2)
    assert "See how the round went" in page


@pytest.mark.parametrize(
    ("after", "away", "used"), [(3000, "", 120), (30, "20", 10), (4000, "", 0), (3000, "2990", 10)]
)
def test_pause_does_not_count(client, running, after, away, used):
    answer_next(client, after=after, away=away)

    assert PracticeRound.objects.get().used_seconds == pytest.approx(used, abs=2)


def test_round_that_was_put_aside_goes_on_where_it_was(client, trainee, running):
    PracticeRound.objects.update(used_seconds=150, started_at=timezone.now() - timedelta(hours=5))

    index = client.get(reverse("assessments:practice-list")).content.decode()
    response = client.get(ROUND, follow=True)

    assert "Go on with your round" in index
    assert "about 3 minutes left" in index
    assert response.context["problem"].seed == running.seed
    answer_next(client, after=10)
    assert PracticeRound.objects.get().used_seconds == pytest.approx(160, abs=2)


def test_answer_sent_twice_moves_on_once(client, running):
    url = reverse("assessments:practice-problem", args=[running.calculation, running.seed])
    shown = client.get(url).context["form"]["shown"].value()
    posted = {"shown": shown, "answer": problem(running.calculation, running.seed).stated_answer}

    first, second = (client.post(url, posted).url for _ in range(2))

    assert first == second
    assert PracticeAttempt.objects.filter(round=running).count() == 1
    assert PracticeRound.objects.get().seed != running.seed


def test_bad_input_in_a_round_keeps_the_problem_and_the_typing(client, running):
    url = reverse("assessments:practice-problem", args=[running.calculation, running.seed])

    response = client.post(url, {"answer": "<script>", "shown": ""})

    assert response.status_code == 200
    assert response.context["form"].errors
    assert "<script>" not in response.content.decode().partition("<main")[2]
    assert PracticeRound.objects.get().seed == running.seed


def test_kind_that_is_new_is_first_read_in_a_round(client):
    person = make_person(make_plant())
    client.force_login(person.user)

    worked = client.post(ROUND, follow=True)

    running = PracticeRound.objects.get()
    onward = reverse("assessments:practice-problem", args=[running.calculation, running.seed])
    assert worked.redirect_chain[-1][0] == reverse("assessments:practice-worked", args=[running.calculation])
    assert onward in worked.content.decode()
    assert client.get(onward).context["running"] == running


def test_summary_names_what_to_look_at_again_and_nothing_more(client, running):
    first = running.calculation
    answer_next(client, is_right=False)
    answer_next(client)

    response = client.post("/practice/round/end/", follow=True)

    told, page = response.context["told"], response.content.decode()
    assert (told.problems, told.right) == (2, 1)
    assert [each.code for each in told.again] == [first]
    assert "2 problems done, 1 right." in page
    assert reverse("assessments:practice-next", args=[first]) in page
    assert not [word for word in ("points", "badge", "streak", "score", "well done") if word in page.lower()]


def test_what_went_right_later_in_the_round_needs_no_other_look(client, running):
    answer_next(client, is_right=False)
    PracticeRound.objects.update(calculation=running.calculation, seed=77)
    answer_next(client)

    told = client.post("/practice/round/end/", follow=True).context["told"]

    assert (told.problems, told.right, told.again) == (2, 1, ())


def test_round_without_an_answer_ends_quietly(client, running):
    page = client.post("/practice/round/end/", follow=True).content.decode()

    assert "No problem was answered in this round." in page
    assert client.post("/practice/round/end/").url == reverse("assessments:practice-list")


def test_calculation_that_is_gone_gives_way_to_another(client, running):
    PracticeRound.objects.update(calculation="C99-gone")

    response = client.get(ROUND, follow=True)

    assert response.status_code == 200
    assert PracticeRound.objects.get().calculation in calculations()


def test_round_is_its_persons_alone(client, trainee, running):
    client.post("/practice/round/end/")
    url = reverse("assessments:practice-round-told", args=[running.pk])
    assert client.get(url).status_code == 200

    client.force_login(make_person(trainee.plant).user)
    assert client.get(url).status_code == 404
    assert PracticeRound.objects.count() == 1


def test_open_round_is_not_told_before_it_ends(client, running):
    assert client.get(reverse("assessments:practice-round-told", args=[running.pk])).url == ROUND


def test_round_costs_the_same_queries_after_many_answers(client, trainee, running):
    with CaptureQueriesContext(connection) as few:
        answer_next(client)
    for number in range(30):
        practise(trainee, seed=1000 + number, ago=timedelta(hours=number))

    with CaptureQueriesContext(connection) as many:
        answer_next(client)

    assert len(many) == len(few)


def test_only_one_round_is_open_for_a_person(trainee):
    now = timezone.now()

    assert start_round(person=trainee, now=now) == start_round(person=trainee, now=now)
