"""Inspection by eye on a small phone and by keyboard: it fits, bars nobody, and shows what it draws."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.urls import reverse

from assessments.inspection import INSPECTIONS
from assessments.models import InspectionAnswer
from tests.assessments.series import accept, item_in, judge, series_for
from tests.factories import make_person, make_plant

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDTH = 320


@pytest.fixture
def person():
    return make_person(make_plant(), "Tove Brandvold")


@pytest.fixture
def phone(page, client, live_server, person):
    client.force_login(person.user)
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page.set_viewport_size({"width": WIDTH, "height": 640})
    return page


def assert_fits(page):
    assert page.evaluate("document.documentElement.scrollWidth") == WIDTH
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def go(page, live_server, name, *parts):
    page.goto(live_server.url + reverse(f"assessments:inspection-{name}", args=parts))


@pytest.mark.parametrize("kind", INSPECTIONS)
def test_drawing_fits_before_and_after_the_answer(phone, live_server, person, kind):
    series = series_for(person, kind)
    go(phone, live_server, "item", series.pk, 1)
    phone.get_by_text("The measurements in words").click()
    assert_fits(phone)

    phone.get_by_label("Accept").check()
    phone.get_by_role("button", name="Answer").click()

    phone.get_by_role("link", name="Next drawing").wait_for()
    assert_fits(phone)


def test_lists_and_report_fit(phone, live_server, person):
    series = judge(series_for(person, length=40), accept)

    for name, parts in (("list", ()), ("series", (series.pk,)), ("report", ())):
        go(phone, live_server, name, *parts)
        assert_fits(phone)


def test_a_millimetre_is_as_long_upright_as_across_and_four_times_as_long_on_request(phone, live_server, person):
    go(phone, live_server, "item", series_for(person, "label").pk, 1)
    drawing = phone.locator("svg.drawn")
    lengths = "svg => { const m = svg.getScreenCTM(); return [m.a, m.d, m.b] }"
    across, upright, slanted = drawing.evaluate(lengths)

    phone.get_by_label("Four times").check()

    assert across == pytest.approx(upright)
    assert slanted == 0
    wide, _high, _slanted = drawing.evaluate(lengths)
    assert wide == pytest.approx(4 * across, rel=0.02)
    assert phone.evaluate("document.documentElement.scrollWidth") == WIDTH


def test_keyboard_alone_rejects_and_names_the_fault(phone, live_server, person):
    series = series_for(person, "crown")
    go(phone, live_server, "item", series.pk, 1)
    assert not phone.get_by_text("What is wrong").is_visible()

    phone.get_by_label("Accept").focus()
    phone.keyboard.press("ArrowDown")
    assert phone.get_by_text("What is wrong").is_visible()
    phone.keyboard.press("Tab")
    phone.keyboard.press("Space")
    phone.keyboard.press("Enter")

    phone.get_by_role("link", name="Next drawing").wait_for()
    answer = InspectionAnswer.objects.get()
    assert (answer.rejected, answer.named) == (True, item_in(series, 1).inspection.faults[0].code)


def test_reject_without_a_fault_is_asked_about_and_kept(phone, live_server, person):
    go(phone, live_server, "item", series_for(person).pk, 1)
    phone.get_by_label("Reject").check()

    phone.get_by_role("button", name="Answer").click()

    phone.get_by_text("Say what is wrong with it.").first.wait_for()
    assert phone.get_by_label("Reject").is_checked()
    assert_fits(phone)
