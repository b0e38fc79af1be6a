"""The library's pages: every calculation is there, whole, with what a person needs to trust it."""

from dataclasses import replace

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from assessments.calculations import calculations
from assessments.generation import problem
from assessments.operations.plant_calculations import (
    begin_calculation,
    change_calculation,
    publish_calculation,
    withdraw_calculation,
)
from assessments.vocabulary import AnswerKind, Family
from tests.assessments.plant_formulas.told import BLEND
from tests.factories import Asked, make_floor, make_person, make_plant, make_task, office

pytestmark = pytest.mark.django_db
CODES = sorted(calculations())


@pytest.fixture
def floor():
    return make_floor(asked=Asked(calculations=("C03", "X01")))


def page(client, code):
    return client.get(reverse("assessments:calculation", args=[code]))


def publish(plant, told=BLEND, *, is_change=False):
    keep = change_calculation if is_change else begin_calculation
    draft = keep(plant=plant, told=told, by=office(plant).person, now=timezone.now())
    return publish_calculation(draft=draft, by=office(plant), now=timezone.now())


def test_every_calculation_is_listed_under_its_family(client, floor):
    client.force_login(floor.trainee.user)

    response = client.get(reverse("assessments:calculation-list"))

    families = response.context["families"]
    assert [family for family, _ in families] == list(Family)
    assert {kind.code for _, rows in families for kind, _ in rows} == set(CODES)
    asked = {kind.code: tasks for _, rows in families for kind, tasks in rows}
    assert asked["C03-strike"] == floor.task.code
    assert asked["C01-volume"] == ""


def test_every_page_shows_its_calculation_whole(client, floor):
    client.force_login(floor.trainee.user)

    for code in CODES:
        require_whole(code, page(client, code).content.decode())


def require_whole(code, content):
    kind, made = calculations()[code], problem(code, 1)
    for reference in kind.references:
        assert escape(reference.text) in content
    for slip in kind.slips:
        assert escape(slip.advice) in content
    assert content.count("<math") >= len(kind.steps)
    assert escape(kind.valid_for) in content
    assert escape(made.answer_shown) in content
    assert ("An answer within" in content) is (kind.kind is AnswerKind.QUANTITY)
    assert all(escape(caution) in content for caution in kind.cautions)


def test_page_names_the_tasks_that_ask_for_it(client, floor):
    client.force_login(floor.trainee.user)

    assert reverse("competencies:task", args=[floor.task.code]) in page(client, "C03-strike").content.decode()


def test_list_names_the_first_few_of_many_tasks(client, floor):
    for number in range(2, 11):
        make_task(floor.area, f"PK-{number:02}", asked=Asked(calculations=("C03",)))
    client.force_login(floor.trainee.user)

    content = client.get(reverse("assessments:calculation-list")).content.decode()

    assert "PK-06 and 4 more" in content


def test_each_slip_is_shown_with_the_value_that_it_gives(client, floor):
    client.force_login(floor.trainee.user)

    example = page(client, "C03-strike").context["example"]

    values = [value for _, value in example.slips]
    assert len(set(values)) == len(values)
    assert example.problem.stated_answer not in values


def test_own_calculation_has_its_page_with_its_source(client, floor):
    publish(floor.plant)
    client.force_login(floor.trainee.user)

    content = page(client, "X01-v1").content.decode()

    assert BLEND.source in content
    assert "derived here" in content
    assert reverse("assessments:practice-next", args=["X01-v1"]) in content


def test_earlier_version_says_so_and_leads_to_the_one_in_use(client, floor):
    publish(floor.plant)
    publish(floor.plant, replace(BLEND, version=2), is_change=True)
    client.force_login(floor.trainee.user)

    content = page(client, "X01-v1").content.decode()

    assert "earlier version" in content
    assert reverse("assessments:calculation", args=["X01-v2"]) in content
    assert reverse("assessments:practice-next", args=["X01-v1"]) not in content


def test_withdrawn_calculation_stays_readable(client, floor):
    row = publish(floor.plant)
    withdraw_calculation(row=row, by=office(floor.plant), now=timezone.now())
    client.force_login(floor.trainee.user)

    assert "earlier version" in page(client, "X01-v1").content.decode()


def test_what_a_coordinator_typed_is_text_and_no_markup(client, floor):
    script = "<script>alert(1)</script>"
    publish(floor.plant, replace(BLEND, title=script, asks=script, valid_for=script, source=script))
    client.force_login(floor.trainee.user)

    content = page(client, "X01-v1").content.decode()

    assert script not in content
    assert escape(script) in content


def test_another_plants_calculation_is_not_there(client, floor):
    publish(floor.plant)
    stranger = make_person(make_plant("birch-wharf", "Birch Wharf"))
    client.force_login(stranger.user)

    assert page(client, "X01-v1").status_code == 404
    assert page(client, "C03-strike").status_code == 200


@pytest.mark.parametrize("code", ["C99-none", "X01-v9", "own1", "%20"])
def test_unknown_calculation_is_not_there(client, floor, code):
    client.force_login(floor.trainee.user)

    assert client.get(f"/calculations/{code}/").status_code == 404


@pytest.mark.parametrize("count", [1, 3])
def test_list_costs_the_same_queries_at_any_size(client, floor, count, django_assert_num_queries):
    for number in range(count):
        publish(floor.plant, replace(BLEND, code=f"X0{number}"))
    client.force_login(floor.trainee.user)

    with django_assert_num_queries(7):
        response = client.get(reverse("assessments:calculation-list"))

    assert sum(len(rows) for _, rows in response.context["families"]) == len(CODES) + count
