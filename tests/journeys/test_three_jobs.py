"""The three jobs in a browser, from the sign-in on: a trainer assigns, a trainee practises, a coordinator prints."""

import pytest
from django.urls import reverse

from assessments.generation import problem
from assessments.models import PracticeAttempt
from competencies.models import Assignment, LedgerIndex, PrintedSheet
from competencies.vocabulary import AuthorityKind, EntryKind
from tests.factories import PASSWORD, PIN, Asked, employ, grant, make_floor, make_person, roster, today

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

TABLET = {"width": 820, "height": 1180}
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1440, "height": 900}


@pytest.fixture
def floor():
    floor = make_floor(asked=Asked(runs=3, calculations=("C05",)))
    for person in (floor.trainee, floor.trainer):
        employ(person)
        roster(person, line=floor.line)
    return floor


@pytest.fixture
def sign_in(page, live_server):
    def enter(person, size):
        person.user.set_password(PASSWORD)
        person.user.save()
        page.set_viewport_size(size)
        page.goto(live_server.url + reverse("competencies:sign-in"))
        page.get_by_label("Username").fill(person.user.username)
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("main").get_by_role("button", name="Sign in").click()
        page.wait_for_url(lambda url: "sign-in" not in url)
        return page

    return enter


def test_a_trainer_assigns_a_task_and_logs_the_run(floor, sign_in, live_server):
    page = sign_in(floor.trainer, TABLET)

    page.goto(live_server.url + reverse("competencies:assign") + f"?on={today()}&shift=day&line=L1")
    page.get_by_text(floor.trainee.name).first.click()
    page.get_by_text(floor.task.title).first.click()
    page.get_by_role("button", name="Ask for it").click()
    page.wait_for_url("**/floor/**")
    assignment = Assignment.objects.get()
    assert (assignment.person, assignment.task, assignment.trainer) == (floor.trainee, floor.task, floor.trainer)

    page.goto(live_server.url + reverse("competencies:run-log", args=[assignment.pk]))
    page.get_by_role("button", name="All met").click()
    page.get_by_label("PIN of the one who watched").fill(PIN)
    page.get_by_role("button", name="Record this run").click()
    page.wait_for_url("**/floor/**")

    assignment.refresh_from_db()
    assert assignment.state == Assignment.State.DONE
    entry = LedgerIndex.objects.get(kind=EntryKind.RUN, person=floor.trainee.pk)
    assert (entry.task, entry.actor) == (floor.task.code, floor.trainer.pk)


def test_a_trainee_practises_on_the_phone(floor, sign_in, live_server):
    page = sign_in(floor.trainee, PHONE)
    made = problem("C05-pressure", 11)

    page.goto(live_server.url + reverse("competencies:my-page"))
    assert page.get_by_role("heading", level=1).is_visible()
    page.goto(live_server.url + reverse("assessments:practice-problem", args=["C05-pressure", 11]))
    page.get_by_label("Your answer").fill(f"{made.calculation.answer.show(made.answer).replace('.', ',')} g/L")
    page.get_by_role("button", name="Answer").click()

    page.get_by_role("link", name="Another of the same kind").wait_for()
    assert PracticeAttempt.objects.get().verdict == "right"
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_a_coordinator_prints_a_record_that_can_be_checked(floor, sign_in, live_server, page):
    coordinator = make_person(floor.plant, "Sunniva Achterberg")
    grant(coordinator, AuthorityKind.COORDINATE)
    page = sign_in(coordinator, DESK)

    page.goto(live_server.url + reverse("competencies:record-print", args=[floor.trainee.pk]))
    form = page.get_by_role("main").locator("form").first
    answer = page.request.post(
        live_server.url + reverse("competencies:record-print", args=[floor.trainee.pk]),
        form={
            "csrfmiddlewaretoken": form.locator("[name=csrfmiddlewaretoken]").input_value(),
            "as_of": today().isoformat(),
        },
        headers={"Referer": page.url},
    )

    assert answer.headers["content-type"] == "application/pdf", answer.text()[:500]
    assert answer.body().startswith(b"%PDF")
    sheet = PrintedSheet.objects.get()
    page.context.clear_cookies()
    page.goto(live_server.url + reverse("competencies:sheet-check", args=[sheet.code]))
    assert "matches the ledger" in page.get_by_role("main").inner_text()
    assert floor.trainee.name not in page.get_by_role("main").inner_text()
