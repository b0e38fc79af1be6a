"""The pages about the whole plant: tasks, cover, the ledger."""

import pytest

from competencies.models import Person
from competencies.operations.corrections import correct
from competencies.operations.decisions import When
from competencies.queries.facts import facts_of_people
from competencies.standing.replacing import Change
from competencies.vocabulary import CorrectionCause, Criticality
from tests import factories as make
from tests.answers import bare

pytestmark = pytest.mark.django_db


@pytest.fixture
def floor():
    return make.make_floor(criticality=Criticality.FOOD)


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
    assert f"2 × {floor.task.code} share only {floor.trainer.name}" in text
    make.roster(floor.assessor, line=floor.line)
    assert "share only" not in office.get("/cover/").content.decode()
    assert "covered" in office.get("/cover/", {"view": "week"}).content.decode()


def test_cover_of_a_past_day_is_told_with_both_answers(office, floor):
    make.make_station(floor.line, floor.task)
    late = make.make_person(floor.plant, "Odalys Brenner")
    make.roster(late, line=floor.line, ago=5)
    entry = make.hold(late, floor.task, assessed=40)
    [fact] = [fact for fact in facts_of_people([late.pk])[late.pk] if fact.seq == entry.seq]
    corrected_at = make.at(make.days_ago(1))
    correct(
        entry=fact,
        person=late,
        by=make.signer(Person.objects.get(name="Rhona Feld")),
        when=When(happened_at=corrected_at, on=make.days_ago(1), now=corrected_at),
        change=Change(cause=CorrectionCause.WRONG_PERSON, reason="Somebody else of that name."),
    )
    day = make.days_ago(5).isoformat()

    now = " ".join(office.get("/cover/", {"on": day}).content.decode().split())
    assert "covered (PK-01: Odalys Brenner)" in now
    assert "nobody for PK-01 (PK-01: nobody)" in now
    assert "short" in now
    then = office.get("/cover/", {"on": day, "known": day}).content.decode()
    assert "<strong>Odalys Brenner</strong>" in then


def test_a_task_of_a_past_day_shows_who_held_it_then(office, floor):
    make.hold(floor.trainee, floor.task, assessed=10)
    before = office.get("/tasks/PK-01/", {"on": make.days_ago(12).isoformat()}).content.decode()
    assert "May do it alone" in before
    assert before.count("badge standing-in_force") == 2
    assert office.get("/tasks/PK-01/").content.decode().count("badge standing-in_force") == 3


def test_the_journal_is_read_as_known_on_a_day(office, floor):
    make.run(floor.trainee, floor.task, floor.trainer, ago=3)
    asked = {"kind": "run", "known_on": make.days_ago(4).isoformat()}
    assert "No entry fits." in office.get("/ledger/", asked).content.decode()
    asked["known_on"] = make.days_ago(3).isoformat()
    text = office.get("/ledger/", asked).content.decode()
    assert f"/people/{floor.trainee.pk}/tasks/PK-01/?scope=#entry-" in text


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


def test_cover_of_a_past_day_costs_the_same_at_any_size(office, floor, django_assert_num_queries):
    def look():
        return office.get("/cover/", {"on": make.days_ago(5).isoformat()})

    def man(line):
        make.make_station(line, floor.task, needed=2)
        for _ in range(3):
            person = make.make_person(floor.plant)
            make.roster(person, line=line, ago=5)
            make.hold(person, floor.task, assessed=40)

    man(floor.line)
    look()
    with django_assert_num_queries(20):
        look()
    for code in ("L2", "L3", "L4"):
        man(make.make_line(floor.plant, code, f"Line {code}"))
    with django_assert_num_queries(20):
        assert look().status_code == 200
