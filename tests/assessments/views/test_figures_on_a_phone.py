"""Agreement and item statistics on a small phone, in both colour schemes: nothing scrolls sideways or bars anyone."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.urls import reverse

from assessments.vocabulary import Verdict
from competencies.vocabulary import AuthorityKind
from tests import factories as make
from tests.assessments.sat_checks import sat

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDTH = 320


@pytest.fixture
def addresses():
    floor = make.make_floor()
    reading = make.add_reading(floor.task)
    for ago, own in enumerate(("41.9", "41.8", "42.0", "40.4", "41.9", "41.7"), start=2):
        make.run(floor.trainee, floor.task, floor.trainer, ago=ago, readings=[make.pair(own, "40.0")])
    sat(floor.trainee, floor.trainer, [Verdict.RIGHT, Verdict.SLIP], slips=["rounded down"])
    return [
        reverse("assessments:agreement-list"),
        reverse("assessments:agreement-quantity", args=[reading.pk]),
        reverse("assessments:agreement-person", args=[floor.trainee.pk]),
        reverse("assessments:agreement-pairs", args=[floor.trainee.pk, reading.pk]),
        reverse("assessments:item-list"),
        reverse("assessments:item", args=["C03-strike"]),
    ]


@pytest.fixture
def phone(page, client, live_server, addresses):
    coordinator = make.make_person(make.Plant.objects.get())
    make.grant(coordinator, AuthorityKind.COORDINATE)
    client.force_login(coordinator.user)
    name = settings.SESSION_COOKIE_NAME
    page.context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": live_server.url}])
    page.set_viewport_size({"width": WIDTH, "height": 640})
    return page


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_pages_fit_and_bar_nobody(phone, live_server, addresses, scheme):
    phone.emulate_media(color_scheme=scheme)
    for address in addresses:
        phone.goto(live_server.url + address)

        assert phone.evaluate("document.documentElement.scrollWidth") == WIDTH, address
        found = Axe().run(phone)
        assert found.violations_count == 0, found.generate_report()


def test_labels_of_the_drawing_lie_within_it(phone, live_server, addresses):
    phone.goto(live_server.url + addresses[3])

    outside = phone.evaluate("""() => {
        const sheet = document.querySelector(".plot-sheet").getBoundingClientRect();
        return [...document.querySelectorAll(".plot-sheet text")]
            .filter((text) => text.getBoundingClientRect().right > sheet.right + 1)
            .map((text) => text.textContent);
    }""")
    assert outside == []
