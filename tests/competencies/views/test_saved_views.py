"""Saved views of the matrix: kept as asked, shared or not, opened and dropped by whom they may be."""

import pytest

from competencies.models import SavedView
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db
PAGE = "/matrix/views/"


@pytest.fixture
def colleague(floor):
    """Return an auditor of the same plant."""
    person = make.make_person(floor.plant, "Perpetua Holm")
    make.grant(person, AuthorityKind.AUDIT)
    return person


def saved(owner, name="Bottles", *, is_shared=False, query="area=PK"):
    return SavedView.objects.create(
        plant=owner.plant, owner=owner, name=name, query=query, is_shared=is_shared, saved_at=make.at(make.today())
    )


def test_a_view_keeps_what_the_address_names_and_opens_it(office, floor, coordinator):
    answer = office.post(
        f"{PAGE}?area=PK&crew=&on=2026-03-01&page=3&odd=1", {"name": " Bottles ", "is_shared": "on"}, follow=True
    )

    [view] = SavedView.objects.all()
    assert (view.name, view.query, view.owner, view.is_shared) == (
        "Bottles",
        "area=PK&on=2026-03-01",
        coordinator,
        True,
    )
    assert 'href="/matrix/?area=PK&amp;on=2026-03-01"' in answer.content.decode()
    opened = office.get("/matrix/?area=PK&on=2026-03-01")
    assert [task.code for task in opened.context["tasks"]] == ["PK-01"]
    assert 'href="/matrix/?area=PK&amp;on=2026-03-01">Bottles</a>' in opened.content.decode()


@pytest.mark.parametrize(
    ("name", "told"), [("", "This field is required"), ("Bottles", "You have a view of this name"), ("x" * 61, "60")]
)
def test_a_name_that_will_not_do_is_told_and_kept(office, coordinator, name, told):
    saved(coordinator)

    text = office.post(f"{PAGE}?area=PK", {"name": name}).content.decode()

    assert told in text
    assert f'value="{name}"' in text or not name
    assert SavedView.objects.count() == 1


def test_ones_own_are_ones_own_and_shared_ones_everybodys(client, office, coordinator, colleague):
    saved(coordinator, "Mine alone")
    shared = saved(coordinator, "For all", is_shared=True)
    client.force_login(colleague.user)

    assert [view for view, _may_drop in client.get(PAGE).context["rows"]] == [shared]
    assert client.post(f"{PAGE}{shared.pk}/drop/").status_code == 403
    assert SavedView.objects.count() == 2


def test_the_owner_drops_a_view_and_the_coordinator_a_shared_one(office, coordinator, colleague):
    mine, shared, other = saved(coordinator), saved(colleague, is_shared=True), saved(colleague, "Theirs")

    answers = [office.post(f"{PAGE}{view.pk}/drop/").status_code for view in (mine, shared, other)]

    assert answers == [302, 302, 404]
    assert list(SavedView.objects.all()) == [other]


def test_views_of_another_plant_are_not_there(office, coordinator):
    stranger = make.make_person(make.make_plant("birch-wharf", "Birch Wharf"))
    view = saved(stranger, is_shared=True)

    assert office.get(PAGE).context["rows"] == []
    assert office.post(f"{PAGE}{view.pk}/drop/").status_code == 404


def test_who_leads_nothing_saves_nothing(client, floor):
    client.force_login(floor.trainer.user)

    assert client.post(f"{PAGE}?area=PK", {"name": "x"}).status_code == 403
    assert not SavedView.objects.exists()


@pytest.mark.parametrize("size", [1, 4])
def test_the_list_asks_a_constant_number_of_questions(office, coordinator, django_assert_num_queries, size):
    for number in range(size):
        saved(coordinator, f"View {number}")
    office.get(PAGE)

    with django_assert_num_queries(6):
        assert len(office.get(PAGE).context["rows"]) == size
