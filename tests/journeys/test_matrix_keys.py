"""The matrix by keyboard: one stop for the Tab key, arrow keys from cell to cell, Enter to the explanation."""

import pytest

from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_the_keys_lead_from_cell_to_cell_and_to_why(page, live_server):
    floor = make.make_floor()
    make.make_task(floor.area, "PK-02")
    coordinator = make.make_person(floor.plant, "Rhona Feld")
    make.grant(coordinator, AuthorityKind.COORDINATE)
    coordinator.user.set_password(make.PASSWORD)
    coordinator.user.save()
    page.goto(f"{live_server.url}/sign-in/")
    page.fill("[name=username]", coordinator.user.username)
    page.fill("[name=password]", make.PASSWORD)
    page.press("[name=password]", "Enter")
    page.wait_for_url(f"{live_server.url}/people/")

    page.goto(f"{live_server.url}/matrix/?tasks=PK-01,PK-02&holding=begun")
    page.focus(".cell > a[tabindex='0']")
    for key in ("End", "ArrowLeft", "ArrowDown", "ArrowDown"):
        page.keyboard.press(key)

    assert page.locator(".cell > a[tabindex='0']").count() == 1
    assert page.text_content("[data-matrix-told]") == "Maren Oduya, PK-01 Fill bottles: in force"
    page.keyboard.press("Enter")
    page.wait_for_url(f"{live_server.url}/people/{floor.assessor.pk}/tasks/PK-01/")
