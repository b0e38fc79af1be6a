"""A round in a browser: by the keyboard alone, and on a phone with its number keys."""

from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.urls import reverse

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.models import PracticeAttempt, PracticeRound
from assessments.vocabulary import Help
from tests.assessments.practising import practise
from tests.factories import make_person, make_plant

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
PHONE = {"width": 390, "height": 844}
SIGN = {"minus": "−", "point": "."}


@pytest.fixture
def trainee():
    person = make_person(make_plant(), "Tove Brandvold")
    for number, code in enumerate(calculations()):
        practise(person, code, seed=number, ago=timedelta(days=30))
    return person


@pytest.fixture
def signed_in(page, client, live_server, trainee):
    client.force_login(trainee.user)
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page.set_viewport_size(PHONE)
    return page


def assert_open_to_all(page):
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def focused(page):
    return page.evaluate("document.activeElement.name || document.activeElement.textContent.trim()")


def tab_to(page, label):
    for _ in range(40):
        page.keyboard.press("Tab")
        if focused(page) == label:
            return
    pytest.fail(f"The key Tab never came to {label}.")


def asked():
    running = PracticeRound.objects.get()
    return problem(running.calculation, running.seed)


def type_answer(page, made):
    if made.calculation.options:
        page.keyboard.press("Space")
        for _ in range(made.calculation.options.index(made.answer)):
            page.keyboard.press("ArrowDown")
    else:
        page.keyboard.type(made.stated_answer.replace(SIGN["minus"], "-"))
    page.keyboard.press("Enter")


def test_a_round_is_played_by_the_keyboard_alone(signed_in, live_server):
    page = signed_in
    page.goto(live_server.url + reverse("assessments:practice-list"))
    assert_open_to_all(page)
    tab_to(page, "Five minutes, mixed")
    page.keyboard.press("Enter")

    for number in range(1, 4):
        page.wait_for_url("**/practice/C*/**")
        assert focused(page) == "answer"
        if number == 1:
            assert_open_to_all(page)
        if number == 3:
            PracticeRound.objects.update(used_seconds=300)
        type_answer(page, asked())
        page.wait_for_url("**/answers/**")
        assert PracticeAttempt.objects.filter(round__isnull=False, verdict="right").count() == number
        assert focused(page) in {"Go on", "See how the round went"}
        page.keyboard.press("Enter")

    page.wait_for_url("**/rounds/**")
    assert "3 problems done, 3 right." in page.get_by_role("main").inner_text()
    assert focused(page) == "Back to practice"
    assert_open_to_all(page)


def test_a_closed_phone_loses_nothing(signed_in, live_server):
    page = signed_in
    page.goto(live_server.url + reverse("assessments:practice-list"))
    page.get_by_role("button", name="Five minutes, mixed").click()
    page.wait_for_url("**/practice/C*/**")
    seed = asked().seed

    page.goto("about:blank")
    page.goto(live_server.url + reverse("assessments:practice-list"))
    page.get_by_role("link", name="Go on with your round").click()

    page.wait_for_url(f"**/{seed}/")
    assert PracticeRound.objects.get().used_seconds == 0


@pytest.fixture
def browser_context_args(browser_context_args):
    """Touch, as on a phone, so that the number keys and what they lack are shown."""
    return {**browser_context_args, "has_touch": True, "is_mobile": True, "viewport": PHONE}


def test_number_keys_lack_nothing(signed_in, live_server, trainee):
    page, made = signed_in, problem("C10-fill", 11)
    page.goto(live_server.url + reverse("assessments:practice-problem", args=["C10-fill", 11]))
    assert_open_to_all(page)
    field = page.get_by_label("Your answer")
    whole, _, rest = made.answer_shown.partition(".")

    assert field.get_attribute("inputmode") == "decimal"
    field.fill(whole)
    page.get_by_role("button", name="Comma").click()
    page.keyboard.type(rest)
    page.get_by_role("radio", name="mL", exact=True).check()
    page.get_by_role("button", name="Answer", exact=True).click()

    page.wait_for_url("**/answers/**")
    attempt = PracticeAttempt.objects.latest("pk")
    assert (attempt.typed, attempt.verdict) == (f"{whole},{rest} mL", "right")


def test_a_step_is_asked_for_without_losing_what_was_typed(signed_in, live_server):
    page = signed_in
    page.goto(live_server.url + reverse("assessments:practice-problem", args=["C05-pressure", 5011]))
    page.get_by_label("Your answer").fill("4,")
    page.get_by_role("button", name="Show me the next step").click()

    page.get_by_role("heading", name="Worked so far").wait_for()
    assert page.get_by_label("Your answer").input_value() == "4,"
    assert page.get_by_role("listitem").filter(has_text="absolute pressure").count() == 1
    assert_open_to_all(page)
    page.get_by_label("Your answer").fill(problem("C05-pressure", 5011).stated_answer)
    page.keyboard.press("Enter")
    page.wait_for_url("**/answers/**")
    assert PracticeAttempt.objects.latest("pk").help == Help.ASKED
