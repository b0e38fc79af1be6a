"""The pages about the whole plant: tasks, cover, the ledger."""

import pytest

from competencies.vocabulary import AuthorityKind, Criticality
from tests import factories as make
from tests.answers import bare

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD)


@pytest.fixture
def office(client, floor):
    coordinator = make.make_person(floor.plant, "Rhona Feld", with_pin=True)
    make.grant(coordinator, AuthorityKind.COORDINATE)
    client.force_login(coordinator.user)
    return client


def test_tasks_say_what_they_ask_and_how_many_hold_them(office, floor):
    text = office.get("/tasks/").content.decode()
    assert "2 runs, valid for 12 months" in text
    assert "Critical for food safety" in text
    assert '<td class="number" data-head="May do it alone today">2</td>' in text


def test_tasks_ask_a_constant_number_of_questions(office, floor, django_assert_num_queries):
    office.get("/tasks/")
    with django_assert_num_queries(7):
        office.get("/tasks/")
    for number in range(2, 9):
        make.hold(floor.trainee, make.make_task(floor.area, f"PK-0{number}"))
    office.get("/tasks/")
    with django_assert_num_queries(7):
        office.get("/tasks/")


def test_a_task_tells_people_only_to_those_who_may_see_them(client, floor):
    client.force_login(floor.trainee.user)
    text = client.get("/tasks/PK-01/").content.decode()
    assert "PK-01 step 1" in text
    assert "2 supervised runs." in text
    assert floor.trainer.name not in text
    client.force_login(floor.assessor.user)
    assert floor.trainer.name in client.get("/tasks/PK-01/").content.decode()


def test_a_coming_revision_is_told_and_a_task_of_another_plant_is_not_there(office, floor):
    make.make_revision(floor.task, 2, effective_on=make.days_ago(-5))
    assert "Coming: revision 2" in office.get("/tasks/PK-01/").content.decode()
    make.make_task(make.make_area(make.make_plant("birch-wharf", "Birch Wharf")), "ZZ-01")
    there, nowhere = office.get("/tasks/ZZ-01/"), office.get("/tasks/ZZ-99/")
    assert (there.status_code, bare(there)) == (404, bare(nowhere))


def test_cover_names_who_stands_where_and_what_is_short(office, floor):
    make.make_station(floor.line, floor.task, needed=2)
    make.roster(floor.trainer, line=floor.line)
    make.roster(floor.trainee, line=floor.line)
    text = office.get("/cover/").content.decode()
    assert floor.trainer.name in text
    assert "2 stations share 1 person" in text
    make.roster(floor.assessor, line=floor.line)
    assert "2 stations share 1 person" not in office.get("/cover/").content.decode()
    assert "covered" in office.get("/cover/", {"view": "week"}).content.decode()


def test_the_ledger_shows_its_state_and_finds_entries(office, floor):
    text = office.get("/ledger/").content.decode()
    assert "all in place" in text
    make.run(floor.trainee, floor.task, floor.trainer)
    text = office.get("/ledger/", {"kind": "run", "text": "Brandvold"}).content.decode()
    assert "1 entry" in text
    assert "Iolo Castellan" in text
    answer = office.post("/ledger/", follow=True).content.decode()
    assert "entries fit" in answer


def test_pages_of_the_whole_plant_are_refused_to_a_trainee(client, floor):
    client.force_login(floor.trainee.user)
    for page in ("/cover/", "/ledger/", "/people/"):
        assert client.get(page).status_code == 403
