"""What changed between two revisions: on the page, and on paper to sign."""

import pytest

from competencies.models import Criterion, Reading
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    floor = make.make_floor()
    newer = make.make_revision(floor.task, 2, effective_on=make.days_ago(-10), touches=(1,))
    first, second = newer.criteria.order_by("number")
    Criterion.objects.filter(pk=first.pk).update(text="PK-01 step 1 of revision 1 and tag it")
    Criterion.objects.filter(pk=second.pk).update(text="PK-01 step 2 of revision 1")
    make.add_reading(floor.task, "fill height")
    return floor


def test_the_page_marks_words_by_sign_and_in_words_for_a_reader(client, floor):
    client.force_login(floor.trainee.user)

    text = client.get("/tasks/PK-01/changes/").content.decode()

    assert "What changed from revision 1 to 2" in text
    assert '<ins class="came"><span class="visually-hidden">added: </span>' in text
    assert '<span aria-hidden="true">+</span>and tag it' in text
    assert "PK-01 step 2 of revision 1 (one miss decides)" in text
    assert "fill height: target 40 mm" in text


def test_any_two_are_compared_the_older_first_and_an_unknown_one_is_not_there(client, floor):
    make.make_revision(floor.task, 3, effective_on=make.days_ago(-20))
    client.force_login(floor.trainee.user)

    page = client.get("/tasks/PK-01/changes/?old=3&new=1")

    assert (page.context["before"].number, page.context["after"].number) == (1, 3)
    for asked in ("?old=9", "?old=2&new=2", "?new=x", "?old=1&new=1"):
        assert client.get(f"/tasks/PK-01/changes/{asked}").status_code == 404


@pytest.mark.parametrize("size", [1, 4])
def test_the_page_costs_the_same_queries_however_many_revisions(client, floor, size, django_assert_num_queries):
    for number in range(3, 3 + size):
        make.make_revision(floor.task, number, effective_on=make.days_ago(-20 - number))
    client.force_login(floor.trainee.user)
    client.get("/tasks/PK-01/changes/")

    with django_assert_num_queries(8):
        page = client.get("/tasks/PK-01/changes/")

    assert len(page.context["issues"]) == 2 + size


def test_a_task_with_one_revision_says_so(client, floor):
    make.make_task(floor.area, "PK-30")
    client.force_login(floor.trainee.user)

    assert "There is one revision only." in client.get("/tasks/PK-30/changes/").content.decode()


def test_the_briefing_names_who_it_concerns_and_is_for_those_who_see_people(client, floor):
    boss = make.make_person(floor.plant)
    make.grant(boss, AuthorityKind.SUPERVISE)
    client.force_login(floor.trainee.user)
    assert client.get("/tasks/PK-01/changes/briefing/").status_code == 403
    client.force_login(boss.user)

    answer = client.get("/tasks/PK-01/changes/briefing/")

    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")
    assert Reading.objects.count() == 1
