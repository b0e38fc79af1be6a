"""The parts in a browser: nothing for axe to find, no sideways scroll, targets for gloves, scripts that may fail."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

pytestmark = [pytest.mark.browser, pytest.mark.django_db]

SMALL_TARGETS = """() => [...document.querySelectorAll(
    "main .button, .head-button, .site-nav a, .section-nav a, .tick-card, .tick, main select, main textarea, " +
    "main input:not([type=checkbox], [type=radio], [type=hidden])")]
  .filter((part) => part.offsetParent !== null)
  .filter((part) => part.getBoundingClientRect().height < 48)
  .map((part) => part.outerHTML.slice(0, 120))"""


@pytest.fixture
def open_parts(live_server, page):
    def open_at(width, scheme="light", path=None):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=scheme)
        page.goto(live_server.url + (path or reverse("competencies:parts")))
        return page

    return open_at


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1440])
def test_axe_finds_nothing_on_the_parts(open_parts, width, scheme):
    found = Axe().run(open_parts(width, scheme))

    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("width", [320, 360, 820, 1440])
def test_no_page_scrolls_sideways(open_parts, width):
    page = open_parts(width)

    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_long_words_do_not_push_the_page_aside(open_parts):
    page = open_parts(360)

    page.evaluate("document.querySelector('h1').textContent = 'Flaschenreinigungsmaschinenüberwachung'.repeat(3)")

    assert page.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize("width", [360, 820])
def test_targets_are_large_enough_for_gloves(open_parts, width):
    assert open_parts(width).evaluate(SMALL_TARGETS) == []


def test_the_page_asks_for_nothing_that_the_policy_refuses(open_parts, page, live_server):
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.append(request.url))

    open_parts(1440).wait_for_load_state("networkidle")

    assert said == []
    assert [url for url in asked if not url.startswith((live_server.url, "data:"))] == []
    assert any("SourceSans3" in url for url in asked)


def test_the_theme_by_choice_outlives_the_page(open_parts):
    page = open_parts(1440, "light")

    page.get_by_role("button", name="Light or dark").click()
    page.reload()

    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert page.evaluate("getComputedStyle(document.documentElement).colorScheme") == "dark"


def test_marking_all_leaves_what_was_judged(open_parts):
    page = open_parts(820)
    criteria = page.locator("#criteria").first

    criteria.get_by_label("Not met").first.check()
    page.get_by_role("button", name="Mark all that are open as met").click()

    chosen = criteria.locator("input:checked")
    assert [chosen.nth(n).get_attribute("value") for n in range(chosen.count())] == ["not_met", "met"]


@pytest.mark.parametrize(
    ("typed", "shown"), [("1250000", "= 1 250 000 L"), ("37,25", "= 37.25 L"), ("12 or so", ""), ("1.2.3", "")]
)
def test_a_number_is_read_back_in_groups(open_parts, typed, shown):
    page = open_parts(820)

    page.locator("#id_volume").fill(typed)

    text = page.locator("output[for=id_volume]").text_content()
    assert re.sub(r"[\u202f\u00a0]", " ", text) == shown


def test_the_first_tab_leads_past_the_head(open_parts):
    page = open_parts(820, path="/nothing/here/")

    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    assert page.evaluate("document.activeElement.id") == "main"


def test_the_error_summary_has_the_focus_and_leads_to_the_field(open_parts):
    page = open_parts(820)

    assert "error-summary" in page.evaluate("document.activeElement.className")
    page.locator(".error-summary a", has_text="PIN").click()
    assert page.evaluate("document.activeElement.id") == "id_faulty-pin"


def test_parts_can_be_read_without_script(browser, live_server):
    page = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 900}).new_page()

    page.goto(live_server.url + reverse("competencies:parts"))

    assert page.get_by_role("button", name="Mark all that are open as met").count() == 0
    assert page.get_by_role("button", name="Sign and save").first.is_visible()


def test_what_was_missing_is_asked_only_where_a_criterion_was_not_met(open_parts):
    page = open_parts(820)
    missing = page.get_by_label("What was missing").first
    assert not missing.is_visible()

    page.locator("#criteria").first.get_by_label("Not met").first.check()

    assert missing.is_visible()
