"""Pages on which records are joined, parted, kept apart and renamed."""

import pytest

from competencies.models import DifferentPeople, LedgerIndex, Person
from competencies.vocabulary import AuthorityKind
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def double(floor):
    return make.make_person(floor.plant, "tove brandvold")


def text_of(answer):
    return answer.content.decode()


def test_a_double_is_found_joined_and_its_old_number_leads_on(office, floor, double):
    assert "tove brandvold" in text_of(office.get("/people/doubles/"))
    page = f"/people/{floor.trainee.pk}/join/"
    given = {"other": double.pk, "reason": "entered twice", "pin": make.PIN}

    assert office.post(page, given).status_code == 302

    assert office.get(f"/records/{double.pk}/").url == f"/records/{floor.trainee.pk}/"
    old = text_of(office.get(f"/people/{double.pk}/"))
    assert "is the same person; it was joined to this one" in old
    assert "Tove Brandvold" in old
    listed = text_of(office.get("/people/", {"text": double.works_number}))
    assert "Tove Brandvold" in listed
    assert "tove brandvold" not in listed
    assert "tove brandvold" not in text_of(office.get("/people/doubles/"))


def test_two_people_are_kept_apart(office, floor, double):
    office.post("/people/doubles/", {"first": double.pk, "second": floor.trainee.pk})

    assert DifferentPeople.objects.count() == 1
    assert "No two records look like one person." in text_of(office.get("/people/doubles/"))
    same = office.post("/people/doubles/", {"first": double.pk, "second": double.pk}, follow=True)
    assert "one and the same record" in text_of(same)


def test_what_stands_against_joining_is_shown_first_and_nothing_typed_is_lost(office, floor):
    make.run(floor.trainee, floor.task, floor.trainer)
    page = f"/people/{floor.trainee.pk}/join/"

    assert "was signed by one of them about the other" in text_of(office.get(page, {"other": floor.trainer.pk}))
    answer = text_of(office.post(page, {"other": floor.trainer.pk, "reason": "look alike", "pin": make.PIN}))

    assert "was signed by one of them about the other" in answer
    assert "look alike" in answer
    assert not LedgerIndex.objects.filter(kind="people_joined").exists()


def test_a_record_is_parted_to_a_new_one(office, floor):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    page = f"/people/{floor.trainee.pk}/part/"
    started = make.days_ago(300).isoformat()
    given = {"entries": [seq], "name": "Tore Brandvold", "works_number": "7001", "started_on": started}
    given |= {"reason": "her brother", "pin": make.PIN}

    assert office.post(page, given).status_code == 302

    brother = Person.objects.get(works_number="7001")
    assert "<strong>Supervised run<" in text_of(office.get(f"/people/{brother.pk}/tasks/PK-01/"))
    assert "<strong>Supervised run<" not in text_of(office.get(f"/people/{floor.trainee.pk}/tasks/PK-01/"))


@pytest.mark.parametrize(
    ("given", "field"),
    [
        pytest.param({"entries": []}, "entries", id="nothing chosen"),
        pytest.param({"works_number": ""}, "works_number", id="no number for the new record"),
        pytest.param({"started_on": ""}, "started_on", id="no first day"),
        pytest.param({"reason": ""}, "reason", id="no reason"),
        pytest.param({"works_number": "taken"}, "works_number", id="a number that is another's"),
    ],
)
def test_parting_names_the_field_and_opens_no_record(office, floor, given, field):
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    everybody = Person.objects.count()
    usual = {"entries": [seq], "name": "Tore", "works_number": "7001", "started_on": "2024-01-08"}
    usual |= {"reason": "her brother", "pin": make.PIN}
    if given.get("works_number") == "taken":
        given = {"works_number": floor.trainer.works_number}

    answer = office.post(f"/people/{floor.trainee.pk}/part/", {**usual, **given})

    assert field in answer.context["form"].errors
    assert Person.objects.count() == everybody


def test_a_refused_parting_opens_no_record_either(client, floor):
    person = make.make_person(floor.plant, with_pin=True)
    make.grant(person, AuthorityKind.COORDINATE, area=make.make_area(floor.plant, "SY", "Syrup room"))
    client.force_login(person.user)
    seq = make.run(floor.trainee, floor.task, floor.trainer).seq
    given = {"entries": [seq], "name": "Tore", "works_number": "7001", "started_on": "2024-01-08"}

    answer = client.post(f"/people/{floor.trainee.pk}/part/", {**given, "reason": "brother", "pin": make.PIN})

    assert "no authority" in text_of(answer).lower()
    assert not Person.objects.filter(works_number="7001").exists()


def test_a_person_is_renamed(office, floor):
    page = f"/people/{floor.trainee.pk}/sign/rename/"
    assert office.post(page, {"name": "Tove Lindqvist", "pin": make.PIN}).status_code == 302
    assert Person.objects.get(pk=floor.trainee.pk).name == "Tove Lindqvist"
    assert LedgerIndex.objects.filter(kind="renamed", person=floor.trainee.pk).count() == 1
    again = office.post(page, {"name": "Tove Lindqvist", "pin": make.PIN})
    assert "That is the name already." in text_of(again)


def test_only_a_coordinator_joins_parts_and_looks_for_doubles(client, floor, double):
    client.force_login(floor.trainer.user)
    pages = ("doubles/", f"{floor.trainee.pk}/join/", f"{floor.trainee.pk}/part/")
    assert [client.get(f"/people/{page}").status_code for page in pages] == [403, 403, 403]
    assert client.post("/people/doubles/", {"first": double.pk, "second": floor.trainee.pk}).status_code == 403
    assert not DifferentPeople.objects.exists()
