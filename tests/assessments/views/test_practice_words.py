"""The sentences that say why a problem comes next, how much is shown, and what came of it."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from assessments.generation import problem
from assessments.scheduling.choosing import Reason, Why
from assessments.scheduling.fading import laid
from assessments.scheduling.progress import Stage
from assessments.views.practice_words import day_told, laid_told, reason_told, stage_told
from competencies.models import Assignment
from tests.assessments.practising import practise
from tests.factories import Asked, ask, days_ago, make_floor, make_person, make_plant

TODAY = date(2026, 11, 25)  # a Wednesday


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (0, "today"),
        (1, "tomorrow"),
        (2, "on Friday"),
        (6, "on Tuesday"),
        (7, "on 2 Dec 2026"),
        (-1, "yesterday"),
        (-2, "on Monday"),
        (-12, "12 days ago"),
    ],
)
def test_day_is_told_as_people_say_it(days, expected):
    assert day_told(TODAY + timedelta(days=days), today=TODAY) == expected


@pytest.mark.parametrize(
    ("reason", "expected"),
    [
        (Reason(Why.TASK, "FB-03", date(2026, 11, 27)), "Asked for by FB-03 on Friday."),
        (Reason(Why.SLIP, "hL taken as L", date(2026, 11, 23)), "You slipped here on Monday: hL taken as L."),
        (Reason(Why.DUE, "", date(2026, 11, 13)), "You were last right 12 days ago."),
        (Reason(Why.WRONG, "", TODAY), "You had this wrong today."),
        (Reason(Why.ON_THE_WAY, "FB-03"), "Asked for by FB-03, which you are working towards."),
        (Reason(Why.NOT_RIGHT_YET), "You have not had this right yet."),
        (Reason(Why.NEW), "You have not tried this yet."),
        (Reason(Why.EARLY, "", date(2026, 11, 26)), "Nothing is due right now. This one would come up tomorrow."),
    ],
)
def test_reason_is_one_sentence(reason, expected):
    assert reason_told(reason, today=TODAY) == expected


def test_every_reason_has_its_sentence():
    assert all(reason_told(Reason(why, "x", TODAY), today=TODAY).endswith(".") for why in Why)


@pytest.mark.parametrize(
    ("stage", "steps", "expected"),
    [
        (Stage.READ, 4, "Next time you first read one that is worked out."),
        (Stage.LAST_BLANK, 4, "Next time the last step is left to you."),
        (Stage.LAST_TWO_BLANK, 4, "Next time the last two steps are left to you."),
        (Stage.ALONE, 4, "Next time all of it is yours."),
        (Stage.LAST_BLANK, 1, "Next time all of it is yours."),
    ],
)
def test_help_of_the_next_problem_is_told(stage, steps, expected):
    assert stage_told(stage, steps) == expected


def test_what_is_shown_is_told():
    made = problem("C05-pressure", 1)
    stages = [(Stage.LAST_BLANK, 0), (Stage.LAST_TWO_BLANK, 0), (Stage.ALONE, 0), (Stage.ALONE, 1)]

    told = [laid_told(laid(made, stage, asked=asked)) for stage, asked in stages]

    assert told == [
        "The last step is left to you.",
        "The last two steps are left to you.",
        "All of it is yours.",
        "The steps you asked for are shown.",
    ]


@pytest.mark.django_db
def test_index_says_what_comes_next_and_why(client):
    floor = make_floor(asked=Asked(calculations=("C10",)))
    ask(floor.trainee, floor.task, floor.trainer)
    client.force_login(floor.trainee.user)

    response = client.get(reverse("assessments:practice-list"))

    assert response.context["next"].calculation.framework_code == "C10"
    assert "Asked for by PK-01 today." in response.content.decode()


@pytest.mark.django_db
def test_task_that_was_called_off_asks_for_nothing(client):
    floor = make_floor(asked=Asked(calculations=("C10",)))
    ask(floor.trainee, floor.task, floor.trainer, state=Assignment.State.DROPPED)
    client.force_login(floor.trainee.user)

    response = client.get(reverse("assessments:practice-list"))

    assert response.context["next"].why == "You have not tried this yet."


@pytest.mark.django_db
def test_slip_of_monday_is_named(client):
    person = make_person(make_plant(), "Tove Brandvold")
    client.force_login(person.user)
    attempt = practise(person, is_right=False, ago=timedelta(days=2))
    expected = f"You slipped here {day_told(days_ago(2), today=days_ago(0))}: {attempt.slips[0]}."

    response = client.get(reverse("assessments:practice-list"))

    # The family of the last problem waits while another has something to practise: the card still tells.
    assert "Worth another look now" in response.content.decode()
    attempt_of_another_kind = practise(person, "C10-fill")
    assert attempt_of_another_kind.slips == []
    assert expected in client.get(reverse("assessments:practice-list")).content.decode().replace("&#x27;", "'")


@pytest.mark.django_db
def test_page_says_how_it_chooses(client):
    client.force_login(make_person(make_plant()).user)

    page = client.get(reverse("assessments:practice-how")).content.decode()

    for words in ("FSRS-6", "90 %", "after 91 days", "within 10 minutes", "Only you.", "Wrong 2 times running"):
        assert words in page
