"""Files in: only coordinators, nothing before a yes, and what is wrong shown where it is."""

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from competencies.importing.nodes import MAX_BYTES
from competencies.importing.syllabus_file import read_syllabus
from competencies.importing.syllabus_text import write_syllabus
from competencies.importing.tables import read_table
from competencies.models import Area, PendingFile, Person, Task, TaskRevision
from competencies.operations.imports import FileKind, Upload, keep_file
from competencies.operations.syllabus import SyllabusDecision, import_syllabus
from competencies.vocabulary import AuthorityKind
from tests.factories import at, days_ago, grant, make_area, make_person, make_plant, office, today

pytestmark = pytest.mark.django_db

TEXT = """\
areas: [{code: PK, title: Packaging}]
tasks:
  - {code: PK-01, title: Start the line, area: PK, criteria: [Looks round, Tells the crew]}
  - {code: PK-02, title: Stop the line, area: PK, criteria: [Looks round]}
"""
PEOPLE = "employee number,name,started on,area,roles\n1007,Ana Tolosa,2026-01-31,PK,trainer PK\n"
PAGES = [
    ("imports", {}),
    ("import-syllabus", {}),
    ("import-people", {}),
    ("syllabus-export", {}),
    ("people-template", {"form": "csv"}),
]


@pytest.fixture
def plant():
    return make_plant()


@pytest.fixture
def coordinator(plant):
    person = make_person(plant, "Rhona Vass")
    grant(person, AuthorityKind.COORDINATE)
    return person


@pytest.fixture
def office_client(client, coordinator):
    client.force_login(coordinator.user)
    return client


def url(name, **kwargs):
    return reverse(f"competencies:{name}", kwargs=kwargs)


def upload(client, kind, content, name=None):
    content = content.encode() if isinstance(content, str) else content
    name = name or {"syllabus": "syllabus.yaml", "people": "people.csv"}[kind]
    return client.post(url(f"import-{kind}"), {"file": SimpleUploadedFile(name, content)})


def bring(plant, text=TEXT, ago=100):
    decision = SyllabusDecision(file=read_syllabus(text, "s.yaml"), effective_on=days_ago(ago))
    import_syllabus(plant=plant, decision=decision, by=office(plant), now=at(days_ago(ago)))


def waiting(coordinator, kind, content):
    chosen = Upload(kind=FileKind(kind), name="waiting", content=content.encode())
    return keep_file(upload=chosen, by=coordinator, now=at(today()))


@pytest.mark.parametrize(("name", "kwargs"), PAGES)
def test_coordinator_sees_every_page(office_client, name, kwargs):
    assert office_client.get(url(name, **kwargs)).status_code == 200


@pytest.mark.parametrize(("name", "kwargs"), PAGES)
@pytest.mark.parametrize("kind", [None, AuthorityKind.TRAIN, AuthorityKind.SUPERVISE, AuthorityKind.AUDIT])
def test_others_are_refused(client, plant, name, kwargs, kind):
    person = make_person(plant)
    if kind:
        grant(person, kind)
    client.force_login(person.user)

    assert client.get(url(name, **kwargs)).status_code == 403


def test_nobody_uploads_or_takes_without_the_right(client, plant, coordinator):
    pending = waiting(coordinator, "syllabus", TEXT)
    person = make_person(plant)
    grant(person, AuthorityKind.SUPERVISE)
    client.force_login(person.user)

    assert upload(client, "syllabus", TEXT).status_code == 403
    assert client.post(url("syllabus-preview", pending_id=pending.pk), {"effective_on": today()}).status_code == 403
    assert client.post(url("pending-discard", pending_id=pending.pk)).status_code == 403
    assert (Task.objects.count(), PendingFile.objects.count()) == (0, 1)


def test_signed_out_is_sent_to_sign_in(client):
    response = client.get(url("imports"))

    assert response.status_code == 302


def test_another_coordinators_file_is_not_there(client, plant, coordinator):
    pending = waiting(coordinator, "people", PEOPLE)
    other = make_person(make_plant("other", "Other"), "Other Office")
    grant(other, AuthorityKind.COORDINATE)
    client.force_login(other.user)

    assert client.get(url("people-preview", pending_id=pending.pk)).status_code == 404
    assert client.post(url("pending-discard", pending_id=pending.pk)).status_code == 404
    assert PendingFile.objects.exists()


def test_preview_shows_and_writes_nothing(office_client):
    response = upload(office_client, "syllabus", TEXT)

    pending = PendingFile.objects.get()
    assert response.headers["Location"] == url("syllabus-preview", pending_id=pending.pk)
    page = office_client.get(response.headers["Location"]).content.decode()
    assert "Start the line" in page
    assert "3 changes." in page
    assert (Task.objects.count(), Area.objects.count()) == (0, 0)


def test_yes_takes_the_file_and_lets_it_go(office_client, plant):
    place = upload(office_client, "syllabus", TEXT).headers["Location"]

    response = office_client.post(place, {"effective_on": today().isoformat()})

    assert response.headers["Location"] == url("imports")
    assert set(Task.objects.filter(plant=plant).values_list("code", flat=True)) == {"PK-01", "PK-02"}
    assert not PendingFile.objects.exists()


def test_second_tap_finds_the_file_gone(office_client):
    place = upload(office_client, "syllabus", TEXT).headers["Location"]
    office_client.post(place, {"effective_on": today().isoformat()})

    assert office_client.post(place, {"effective_on": today().isoformat()}).status_code == 404


def test_no_throws_the_file_away(office_client):
    upload(office_client, "syllabus", TEXT)

    response = office_client.post(url("pending-discard", pending_id=PendingFile.objects.get().pk))

    assert response.status_code == 302
    assert (PendingFile.objects.count(), Task.objects.count()) == (0, 0)


def test_file_with_faults_is_not_kept_and_every_fault_is_shown(office_client):
    response = upload(office_client, "syllabus", TEXT.replace("area: PK,", "area: QQ, runs: many,"))

    page = response.content.decode()
    assert not PendingFile.objects.exists()
    assert page.count("a whole number from 0 to 200 was expected") == 2
    assert page.count("QQ is neither in the file nor at the plant") == 2
    assert "tasks[PK-01].runs" in page


@pytest.mark.parametrize(
    ("content", "name", "message"),
    [
        (b"", "s.yaml", "empty"),
        (b"tasks: []", "s.exe", "not allowed"),
        (b"#" * (MAX_BYTES + 1), "s.yaml", "larger than 2000 kB"),
        (b"\xff\xfe", "s.yaml", "not UTF-8"),
    ],
)
def test_unfit_upload_gets_a_message_at_the_field(office_client, content, name, message):
    response = upload(office_client, "syllabus", content, name)

    assert response.status_code == 200
    assert message in response.content.decode()
    assert not PendingFile.objects.exists()


def test_name_and_text_of_a_file_are_shown_as_text(office_client):
    upload(office_client, "syllabus", TEXT.replace("Start the line", "<script>alert(1)</script>"), "a<b>.yaml")

    page = office_client.get(url("syllabus-preview", pending_id=PendingFile.objects.get().pk)).content.decode()

    assert "<script>alert" not in page
    assert "a&lt;b&gt;.yaml" in page


def test_changed_procedure_asks_for_class_and_second_person(office_client, plant, coordinator):
    bring(plant)
    changed = TEXT.replace("Tells the crew", "Tells the crew by radio")
    place = upload(office_client, "syllabus", changed).headers["Location"]

    page = office_client.get(place).content.decode()
    assert "Criteria to be judged again, if it is major: 2." in page
    alone = office_client.post(place, {"effective_on": today().isoformat(), "class_PK-01": "major"})
    assert alone.status_code == 200
    assert TaskRevision.objects.filter(task__code="PK-01").count() == 1
    second = make_person(plant, "Second Pair")
    answer = {"effective_on": today().isoformat(), "class_PK-01": "minor", "seconded_by": second.pk}
    office_client.post(place, answer)

    revision = TaskRevision.objects.get(task__code="PK-01", number=2)
    assert (revision.change, revision.touches) == ("minor", [2])
    assert (revision.approved_by, revision.second_approved_by) == (coordinator, second)


def test_second_person_cannot_be_the_bringer(office_client, plant, coordinator):
    bring(plant)
    place = upload(office_client, "syllabus", TEXT.replace("Tells the crew", "Signs")).headers["Location"]
    answer = {"effective_on": today().isoformat(), "class_PK-01": "major", "seconded_by": coordinator.pk}

    response = office_client.post(place, answer)

    assert response.status_code == 200
    assert TaskRevision.objects.filter(task__code="PK-01").count() == 1


def test_what_the_operation_refuses_is_told_on_the_form_and_the_file_still_waits(office_client, plant):
    bring(plant)
    place = upload(office_client, "syllabus", TEXT.replace("Tells the crew", "Signs")).headers["Location"]
    second = make_person(plant)
    answer = {"effective_on": days_ago(200).isoformat(), "class_PK-01": "major", "seconded_by": second.pk}

    page = office_client.post(place, answer).content.decode()

    assert "cannot be in force before the one it follows" in page
    assert days_ago(200).isoformat() in page
    assert PendingFile.objects.count() == 1


def test_file_that_no_longer_fits_shows_why_and_cannot_be_taken(office_client, plant, coordinator):
    pending = waiting(coordinator, "syllabus", "tasks: [{code: A, title: T, area: GONE, criteria: [x]}]")
    place = url("syllabus-preview", pending_id=pending.pk)

    page = office_client.post(place, {"effective_on": today().isoformat()}).content.decode()

    assert "GONE is neither in the file nor at the plant" in page
    assert not Task.objects.exists()


def test_same_syllabus_says_that_nothing_differs(office_client, plant):
    bring(plant)
    place = upload(office_client, "syllabus", office_client.get(url("syllabus-export")).content).headers["Location"]

    page = office_client.get(place).content.decode()

    assert "Nothing differs" in page
    assert "2 tasks of the file stay as they are" in page


def test_export_is_the_plants_syllabus(office_client, plant):
    bring(plant)

    response = office_client.get(url("syllabus-export"))

    assert 'filename="syllabus.yaml"' in response.headers["Content-Disposition"]
    assert write_syllabus(read_syllabus(TEXT, "s.yaml")) == response.content.decode()


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_empty_template_of_people_can_be_fetched(office_client, form):
    response = office_client.get(url("people-template", form=form))

    ((_row, cells),) = read_table(response.content)
    assert cells[0].text == "employee number"
    assert f"people.{form}" in response.headers["Content-Disposition"]


def test_people_are_shown_then_taken(office_client, plant):
    make_area(plant, "PK")
    place = upload(office_client, "people", PEOPLE).headers["Location"]

    page = office_client.get(place).content.decode()
    assert "Ana Tolosa" in page
    assert "trainer PK" in page
    assert not Person.objects.filter(works_number="1007").exists()
    office_client.post(place)

    person = Person.objects.get(plant=plant, works_number="1007")
    assert [authority.kind for authority in person.authorities.all()] == ["train"]
    assert not PendingFile.objects.exists()


def test_people_with_faults_are_not_kept(office_client, plant):
    response = upload(office_client, "people", PEOPLE.replace("2026-01-31", "03/04/2026"))

    page = response.content.decode()
    assert "03/04/2026 could be 2026-04-03 or 2026-03-04" in page
    assert "PK is not known here; the plant has none yet" in page
    assert (PendingFile.objects.count(), Person.objects.filter(works_number="1007").count()) == (0, 0)


def test_people_that_no_longer_fit_cannot_be_taken(office_client, coordinator):
    pending = waiting(coordinator, "people", PEOPLE)

    page = office_client.post(url("people-preview", pending_id=pending.pk)).content.decode()

    assert "PK is not known here" in page
    assert not Person.objects.filter(works_number="1007").exists()


def test_likely_same_person_is_shown_to_look_at_twice(office_client, plant):
    make_area(plant, "PK")
    Person.objects.create(plant=plant, works_number="7", name="Ana Tolosa", started_on=days_ago(900))
    place = upload(office_client, "people", PEOPLE).headers["Location"]

    assert "is here already under 7: likely the same person" in office_client.get(place).content.decode()


def test_later_upload_takes_the_place_of_the_earlier_and_old_ones_go(coordinator, plant):
    other = make_person(plant)
    content = Upload(kind=FileKind.PEOPLE, name="p.csv", content=b"x")
    keep_file(upload=content, by=other, now=at(days_ago(8)))
    keep_file(upload=content, by=coordinator, now=at(days_ago(1)))

    last = keep_file(upload=content, by=coordinator, now=at(today()) + timedelta(hours=1))

    assert list(PendingFile.objects.all()) == [last]


@pytest.mark.parametrize("size", [1, 15])
def test_preview_costs_the_same_queries_at_any_size(
    office_client, plant, coordinator, size, django_assert_num_queries
):
    bring(plant)
    tasks = [f"  - {{code: N-{n}, title: T, area: PK, criteria: [x]}}\n" for n in range(size)]
    pending = waiting(coordinator, "syllabus", TEXT + "".join(tasks))
    office_client.get(url("syllabus-preview", pending_id=pending.pk))

    with django_assert_num_queries(22):
        page = office_client.get(url("syllabus-preview", pending_id=pending.pk))

    assert page.content.decode().count("N-") == size


@pytest.mark.parametrize("size", [1, 40])
def test_preview_of_people_costs_the_same_queries_at_any_size(
    office_client, coordinator, size, django_assert_num_queries
):
    rows = "".join(f"9{n},Worker {chr(65 + n % 26) * 3},2026-01-31\n" for n in range(size))
    pending = waiting(coordinator, "people", "employee number,name,started on\n" + rows)
    office_client.get(url("people-preview", pending_id=pending.pk))

    with django_assert_num_queries(8):
        page = office_client.get(url("people-preview", pending_id=pending.pk))

    assert page.context["rows"][-1][0] == f"9{size - 1}"
