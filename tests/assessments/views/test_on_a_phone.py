"""Practice and a check on a small phone: nothing scrolls sideways, nothing bars anyone, and it can be played."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.urls import reverse

from assessments.generation import problem
from assessments.models import CheckSitting, PracticeAttempt
from tests.assessments.sittings import sitting_for
from tests.factories import Asked, ask, make_floor

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDTH = 320


@pytest.fixture
def floor():
    floor = make_floor(asked=Asked(calculations=("C05",)))
    ask(floor.trainee, floor.task, floor.trainer)
    return floor


@pytest.fixture
def phone(page, client, live_server, floor):
    client.force_login(floor.trainee.user)
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page.set_viewport_size({"width": WIDTH, "height": 640})
    return page


def assert_fits(page):
    assert page.evaluate("document.documentElement.scrollWidth") == WIDTH
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def send(page, typed, unit=""):
    page.get_by_label("Your answer").fill(typed)
    if unit:
        page.get_by_role("radio", name=unit, exact=True).check()
    page.get_by_role("button", name="Answer").click()


def test_a_slip_in_practice_is_explained(phone, live_server):
    made = problem("C05-pressure", 7)
    slip = made.slips[0]
    phone.goto(live_server.url + reverse("assessments:practice-list"))
    assert_fits(phone)

    phone.goto(live_server.url + reverse("assessments:practice-problem", args=["C05-pressure", 7]))
    assert_fits(phone)
    send(phone, made.calculation.answer.show(made.slip_value(slip)), "g/L")

    phone.get_by_text(slip.advice).wait_for()
    assert_fits(phone)
    assert PracticeAttempt.objects.get().verdict == "slip"


def test_a_long_formula_scrolls_inside_its_own_frame(phone, live_server):
    phone.goto(live_server.url + reverse("assessments:practice-problem", args=["C04-plato", 7]))
    send(phone, "12", "°P")

    phone.get_by_role("heading", name="Worked out").wait_for()
    assert_fits(phone)


def test_a_check_is_taken_from_the_start_to_the_result(phone, live_server, floor):
    sitting = sitting_for(floor.trainee, floor.trainer, problems=2, pass_mark=2)
    phone.goto(live_server.url + reverse("assessments:practice-list"))
    phone.get_by_role("link", name="Go to the check").click()
    phone.get_by_role("button", name="Start").click()

    for number in (1, 2):
        phone.get_by_role("heading", name=f"Problem {number} of 2").wait_for()
        assert_fits(phone)
        code, seed = sitting.problem_seeds[number - 1]
        send(phone, problem(code, seed).answer_shown, "°C")

    phone.get_by_text("2 of 2 right, 2 needed.").wait_for()
    assert_fits(phone)
    assert CheckSitting.objects.get().entry_seq
